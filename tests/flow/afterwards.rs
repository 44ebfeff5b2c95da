//! The fold of afterwards: re-reading, levels, spots. Volumes by the trade's formula V = d (s − c1)/(c2 − c1).

use super::hands::*;
use pourcard::app::{
    action::{Action, Pick},
    after::{
        LevelPart, RunPart, STUDY_PARTS, StudyPart, Surface, When,
        update::{After, List, Ran},
    },
    choice::{AimBy, DoseBy, DrainBy, ReadingBy, System},
    counter::Place,
    draft,
    field::Field,
    import,
    model::Spot,
    page::Page,
    saved,
    view::{self, AfterView},
};
use pourcard::job::{self, file::Now};

const SURVEY: &str = include_str!("../reference/survey_six_spots.json");

fn after(page: &Page) -> AfterView {
    view::after(page)
}

fn afterwards(page: Page, what: After) -> Page {
    page.act(Action::After(what))
}

/// The van with plain water in it, to be 50 %: 4.15 of its 8.4 L are replaced by 4.20 of concentrate. All steps ticked.
fn watered() -> Page {
    let mut page = empty()
        .types(Field::Volume, "8.4")
        .picks(Pick::Reading(ReadingBy::Water))
        .picks(Pick::Aim(AimBy::Percent))
        .types(Field::AimPercent, "50")
        .picks(Pick::Drain(DrainBy::Dry))
        .picks(Pick::Dose(DoseBy::None))
        .does(Action::StockTicked(0));
    assert_eq!(line(&page), "Drain 4.15 L, pour 4.20 L concentrate");
    for id in ["1", "2", "3", "4"] {
        page = page.act(Action::StepTicked(id.into()));
    }
    page
}

#[test]
fn it_says_what_each_instrument_should_read() {
    let page = van();
    let should = |by| plain(&after(&afterwards(page.clone(), After::BackBy(by))).should);
    assert!(
        should(ReadingBy::Percent).contains("50.0 %"),
        "{}",
        should(ReadingBy::Percent)
    );
    assert!(should(ReadingBy::Frost).contains("°C"));
    // 50 % ethylene: gravity 1.07 to 1.08 at 20 °C (handbook density over water's).
    assert!(
        should(ReadingBy::Gravity).contains(" 1.07"),
        "{}",
        should(ReadingBy::Gravity)
    );
    assert!(should(ReadingBy::Brix).contains("°Bx"));
    // Before there is a card, nothing.
    assert!(!after(&empty()).should.contains('%'));
}

#[test]
fn a_job_that_came_out_right() {
    let page = van().types(Field::BackPercent, "50");
    let finding = after(&page).finding.unwrap();
    assert!(finding.good && finding.causes.is_empty() && finding.take.is_none());
    assert_eq!(line(&page), line(&van()));
}

/// What is said to be as planned is what is judged so, however sure the reading is.
#[test]
fn as_planned_is_what_was_said() {
    for own in ["", "0.5", "1", "2"] {
        let page = van().types(Field::BackPercentSpread, own);
        let shows = page.current().solved.as_ref().unwrap().shows.unwrap();
        for (reading, good) in [
            (shows.low - 0.1, false),
            (shows.low + 0.1, true),
            (shows.high - 0.1, true),
            (shows.high + 0.1, false),
        ] {
            let read = page
                .clone()
                .types(Field::BackPercent, &format!("{reading:.2}"));
            let finding = after(&read).finding.unwrap();
            assert_eq!(finding.good, good, "{own}: {reading:.2} of {shows:?}");
        }
    }
}

#[test]
fn the_true_volume_is_taken_with_one_tap() {
    // 4.2 L of concentrate beside 9.6 − 4.15 L of water: 43.5 %; beside 8.4 − 4.15 it would be 49.7 %.
    let page = watered()
        .types(Field::BackPercent, "43.5")
        .types(Field::PercentSpread, "1");
    let found = after(&page).finding.unwrap();
    assert!(!found.good && found.heading.contains("6.2"), "{found:?}");
    assert!(
        found.causes[0].contains("9.6") && found.causes[0].contains("8.4"),
        "{found:?}"
    );
    assert_eq!(
        plain(&found.take.clone().unwrap()),
        "Use 9.6 L as the capacity"
    );
    assert!(plain(&found.then.unwrap()).contains("concentrate"));

    let taken = afterwards(page.clone(), After::Taken(true));
    let volume: f64 = text(&taken, Field::Volume).parse().unwrap();
    assert!((volume - 9.6).abs() < 0.1, "{volume}");
    assert_eq!(text(&taken, Field::Percent), "43.5");
    // The plan goes on from there: out comes what V (50 − 43.5)/(100 − 43.5) makes, 1.10 L.
    assert!(
        line(&taken).starts_with("Drain 1.05 L, pour 1.05 L")
            || line(&taken).starts_with("Drain 1.10 L"),
        "{}",
        line(&taken)
    );
    assert!(plain(&after(&taken).was.unwrap()).contains("8.4 L"));
    let record: Vec<String> = after(&taken)
        .record
        .into_iter()
        .flat_map(|(_, l)| l)
        .collect();
    assert!(
        plain(&record.join("; ")).contains("drained 4.15 L"),
        "{record:?}"
    );
    // And back.
    assert_eq!(text(&taken.does(Action::Undone), Field::Volume), "8.4");

    // The reading alone: the book's volume stays.
    let on = afterwards(page, After::Taken(false));
    assert_eq!(text(&on, Field::Volume), "8.4");
    assert_eq!(text(&on, Field::Percent), "43.5");
    assert!(after(&on).was.is_none());
}

/// Its own ± and its date are the file's; blank, it is as sure as the reading before by that instrument.
#[test]
fn a_reading_again_has_its_own_sureness_and_its_date() {
    let half = |page: &Page| match page.draft.job.loops[0].check_back.as_ref().unwrap().reading {
        Now::Percent { plus_minus, .. } => plus_minus,
        _ => panic!("another reading"),
    };
    let page = watered().types(Field::BackPercent, "43.5");
    assert_eq!(half(&page), None);
    let wide = |page: &Page| {
        let back = page
            .current()
            .solved
            .as_ref()
            .unwrap()
            .answer
            .check_back
            .clone();
        let volume = back.unwrap().volume.unwrap();
        volume.high_litres - volume.low_litres
    };
    let usual = wide(&page);
    let sure = page.types(Field::BackPercentSpread, "0.5");
    assert_eq!(half(&sure), Some(0.5));
    assert!(wide(&sure) < usual, "{} against {usual}", wide(&sure));
    let inherits = van()
        .types(Field::PercentSpread, "1.5")
        .types(Field::BackPercent, "50");
    assert_eq!(half(&inherits), Some(1.5));

    let dated = sure.act(Action::Typed(Spot::BackDate, " 2026-11-30 ".into()));
    let written = job::write(&dated.draft.job);
    assert!(written.contains("2026-11-30"));
    let back = Page::new(import::model(&job::read(&written).unwrap()));
    assert_eq!(back.draft.job, dated.draft.job);
    let kept = saved::decode(&saved::encode(&dated.model)).unwrap();
    assert_eq!(&kept, &*dated.model);
    let record = after(&dated).record.into_iter().flat_map(|(_, l)| l);
    assert!(record.collect::<Vec<_>>().join("; ").contains("2026-11-30"));
    // So is the job's own date, whoever typed it, and still after a night on the device.
    let noted = dated.act(Action::Typed(
        Spot::Counter(Place::Date),
        "2026-11-29".into(),
    ));
    let noted = Page::new(saved::decode(&saved::encode(&noted.model)).unwrap());
    assert_eq!(after(&noted).record[0].0, "2026-11-29");
    let wrong = dated.act(Action::Typed(Spot::BackDate, "30.11.2026".into()));
    assert_eq!(line(&wrong), line(&watered()));
    let field = view::field(&wrong, &Spot::BackDate);
    assert!(field.error.is_some());
    assert!(draft::file(&wrong.draft).is_none());
    // In a file it is named, and what the reading comes to stands.
    let odd = written.replace("2026-11-30", "in May");
    let answer: serde_json::Value = serde_json::from_str(&job::answer_text(&odd).0).unwrap();
    let back = &answer["loops"][0]["check_back"];
    assert_eq!(back["error"]["key"], "loops[0].check_back.date");
    assert!(back["volume"]["litres"].is_number());
}

/// What a surface mirrors, typed once for a run, is the file's.
#[test]
fn what_surfaces_mirror_can_be_typed() {
    let page = afterwards(van(), After::UsualPlaces);
    let page = afterwards(page, After::RunAdded(When::Before))
        .act(Action::Typed(Spot::Run(0, RunPart::Ambient), "20".into()))
        .act(Action::Typed(Spot::Run(0, RunPart::Reflected), "45".into()));
    let run = &page.draft.job.survey.as_ref().unwrap().runs[0];
    assert_eq!(run.reflected.map(|q| q.value), Some(45.0));
    let back = Page::new(import::model(
        &job::read(&job::write(&page.draft.job)).unwrap(),
    ));
    assert_eq!(back.draft.job, page.draft.job);
}

#[test]
fn too_small_a_change_says_how_much_would_do() {
    let page = van()
        .types(Field::PercentSpread, "3")
        .types(Field::BackPercent, "42");
    let finding = after(&page).finding.unwrap();
    assert!(finding.take.is_none());
    assert!(
        finding.lines.iter().any(|l| l.contains("it needs about")),
        "{finding:?}"
    );
}

#[test]
fn a_broken_note_leaves_the_card_and_is_named() {
    let page = van().types(Field::BackPercent, "5x");
    assert_eq!(line(&page), line(&van()));
    assert!(error(&page, Field::BackPercent).is_some());
    assert!(draft::file(&page.draft).is_none());
    let page = van().types(Field::BackPercent, "130");
    assert_eq!(line(&page), line(&van()));
    assert!(error(&page, Field::BackPercent).unwrap().contains("130"));
}

fn look(page: Page, i: usize, date: &str, missing: &str) -> Page {
    afterwards(page, After::LevelAdded)
        .act(Action::Typed(Spot::Level(i, LevelPart::Date), date.into()))
        .act(Action::Typed(
            Spot::Level(i, LevelPart::Missing),
            missing.into(),
        ))
}

#[test]
fn levels_say_what_to_do_next() {
    let page = look(van(), 0, "2026-03-01", "0");
    assert!(after(&page).levels[0].contains("One day"));
    // Nothing typed is at the mark, as the field says.
    let blank = look(look(van(), 0, "2026-03-01", ""), 1, "2026-04-01", "0.8");
    let page = look(page, 1, "2026-04-01", "0.8");
    assert_eq!(after(&blank).levels, after(&page).levels);
    let view = after(&page);
    assert!(
        plain(&view.levels[0]).contains("0.80 L") && view.levels[0].contains("pressure"),
        "{:?}",
        view.levels
    );
    let plot = view.plot.unwrap();
    assert_eq!((plot.points[0], plot.points[1]), ((0, 0), (1000, 1000)));
    assert_eq!(plot.rows.len(), 2);
    // A date that is none is named beside its field.
    let page = page.act(Action::Typed(
        Spot::Level(1, LevelPart::Date),
        "2026-04-31".into(),
    ));
    assert!(
        view::field(&page, &Spot::Level(1, LevelPart::Date))
            .error
            .is_some()
    );
    assert_eq!(line(&page), line(&van()));
    assert_eq!(
        after(&afterwards(page, After::LevelRemoved(1)))
            .levels
            .len(),
        1
    );
}

/// What was read at a look stays in sight, whatever the next re-reading is made with.
#[test]
fn a_look_shows_what_was_read() {
    let page = afterwards(van(), After::BackBy(ReadingBy::Frost));
    let page = look(page, 0, "2026-03-01", "0");
    let shows = |page: &Page| {
        let lp = page.model.current();
        pourcard::app::after::read_part(lp, &lp.levels[0])
    };
    assert_eq!(shows(&page), LevelPart::Frost);
    let other = afterwards(page.clone(), After::BackBy(ReadingBy::Percent));
    assert_eq!(shows(&other), LevelPart::Percent);
    let at = Spot::Level(0, LevelPart::Frost);
    let typed = page.act(Action::Typed(at.clone(), "-37".into()));
    let other = afterwards(typed, After::BackBy(ReadingBy::Percent));
    assert_eq!(shows(&other), LevelPart::Frost);
    let read = other.draft.job.loops[0].levels[0].reading;
    assert!(matches!(read, Some(Now::FreezingPoint { value, .. }) if (value + 37.0).abs() < 1e-9));
}

/// A fault of a look is named beside that look, though one above it is not whole yet.
#[test]
fn a_fault_of_a_look_is_beside_it() {
    let page = afterwards(van(), After::LevelAdded);
    let page = look(page, 1, "2026-03-01", "0");
    let page = page.act(Action::Typed(
        Spot::Level(1, LevelPart::Percent),
        "130".into(),
    ));
    let error = |i, part| view::field(&page, &Spot::Level(i, part)).error;
    assert!(error(1, LevelPart::Percent).unwrap().contains("130"));
    assert_eq!(error(1, LevelPart::Frost), None);
    assert_eq!(error(0, LevelPart::Percent), None);
}

/// Six spots typed as a user types them come to what the file comes to, in any units.
#[test]
fn a_survey_typed_is_the_file() {
    let job = job::read(SURVEY).unwrap();
    let told = job.survey.clone().unwrap();
    let mut page = afterwards(van(), After::UsualPlaces);
    page = afterwards(page, After::SurfaceIs(5, Surface::Gauge));
    page = page.act(Action::Typed(Spot::Study(StudyPart::Accuracy), "2".into()));
    page = page.act(Action::Typed(Spot::Study(StudyPart::Planned), "3".into()));
    for i in 0..6 {
        let side = List::Side(i).chosen("air").unwrap();
        page = afterwards(page, side);
    }
    for (i, run) in told.runs.iter().enumerate() {
        page = afterwards(page, After::RunAdded(run.when));
        let mut typed = |part, value: f64| {
            let text = value.to_string();
            page = page.act(Action::Typed(Spot::Run(i, part), text));
        };
        typed(RunPart::Ambient, run.ambient.value);
        typed(RunPart::Minutes, run.minutes.unwrap());
        typed(RunPart::Setting, run.emissivity.unwrap());
        for (k, shown) in run.shown.iter().enumerate() {
            typed(RunPart::Shown(k), shown.value);
        }
        let pair = run.pair.clone().unwrap();
        page = page.act(Action::Typed(Spot::Run(i, RunPart::Pair), pair));
    }
    let expected = job::after::survey::judge(&told);
    let found = page.survey.clone().unwrap();
    assert_eq!(found.error, None);
    for (a, b) in found.spots.iter().zip(&expected.spots) {
        assert_eq!((a.name.as_str(), a.verdict), (b.name.as_str(), b.verdict));
    }
    let in_us = page.act(Action::UnitsChosen(System::Us));
    assert_eq!(in_us.survey, page.survey);
    let view = after(&page);
    assert!(
        view.verdicts
            .contains("Cooler: Top hose and Bottom hose. Warmer: Heater hose."),
        "{}",
        view.verdicts
    );
    assert_eq!(view.spots.len(), 6);
    let oil = view.spots.last().unwrap();
    assert!(
        oil.verdict.contains("By itself it would count"),
        "{}",
        oil.verdict
    );
    // What a spot is called may be blank, and a run may go.
    let page = page.act(Action::Typed(Spot::Place(0), String::new()));
    assert_eq!(after(&page).spots[0].name, "Place 1");
    let page = afterwards(page, After::RunRemoved(5));
    assert_eq!(
        after(&page).verdicts,
        "The verdict comes when the planned 3 runs of each are in."
    );
    let page = afterwards(page, After::PlaceRemoved(0));
    assert_eq!(page.model.survey.runs[0].shown.len(), 5);
    assert_eq!(page.survey.as_ref().unwrap().error, None);
}

#[test]
fn one_run_each_proves_little() {
    let mut page = afterwards(van(), After::PlaceAdded);
    for (i, (when, t)) in [(When::Before, "90"), (When::After, "80")]
        .into_iter()
        .enumerate()
    {
        page = afterwards(page, After::RunAdded(when));
        for (part, text) in [(RunPart::Ambient, "20"), (RunPart::Shown(0), t)] {
            page = page.act(Action::Typed(Spot::Run(i, part), text.into()));
        }
    }
    let view = after(&page);
    assert!(
        view.spots[0]
            .verdict
            .contains("one run each could be chance"),
        "{:?}",
        view.spots
    );
    assert_eq!(
        plain(&view.verdicts),
        "Place 1 reads 10 °C cooler; one run each could be chance."
    );
    // The record has the job, and what was measured.
    let record: Vec<String> = view
        .record
        .iter()
        .flat_map(|(h, l)| [h.clone(), l.join("; ")])
        .collect();
    let record = plain(&record.join("\n"));
    for words in [
        "8.4 L",
        "drained 1.00 L (by the card)",
        "Should read: 50.0 %",
        "Place 1",
        "one run each could be chance",
        "90 °C",
    ] {
        assert!(record.contains(words), "{words}: {record}");
    }
}

#[test]
fn faults_of_the_survey_are_named_beside_their_fields() {
    let mut file: serde_json::Value = serde_json::from_str(SURVEY).unwrap();
    file["survey"]["runs"][1]["shown"][2]["value"] = 9000.into();
    let page = Page::new(import::model(&job::read(&file.to_string()).unwrap()));
    let at = |spot| view::field(&page, &spot).error;
    assert!(
        at(Spot::Run(1, RunPart::Shown(2)))
            .unwrap()
            .contains("9000")
    );
    assert_eq!(at(Spot::Run(0, RunPart::Shown(2))), None);
    file["survey"]["spots"][1]["name"] = "Top hose".into();
    let page = Page::new(import::model(&job::read(&file.to_string()).unwrap()));
    assert!(view::field(&page, &Spot::Place(1)).error.is_some());
}

/// Six places, two runs each: what was seen, in one line.
#[test]
fn few_runs_say_what_was_seen() {
    let mut page = afterwards(van(), After::UsualPlaces);
    for (i, when) in [When::Before, When::Before, When::After, When::After]
        .into_iter()
        .enumerate()
    {
        page = afterwards(page, After::RunAdded(when));
        page = page.act(Action::Typed(Spot::Run(i, RunPart::Ambient), "20".into()));
        for k in 0..6 {
            let cooler = if when == When::After {
                2.0 + k as f64 / 5.0
            } else {
                0.0
            };
            let text = (90.0 - cooler).to_string();
            page = page.act(Action::Typed(Spot::Run(i, RunPart::Shown(k)), text));
        }
    }
    assert_eq!(
        plain(&after(&page).verdicts),
        "All six places read 2 to 3 °C cooler; two runs each could be chance."
    );
}

/// The verdict says why it is none, and the chart has a dot for each run and the range of each side.
#[test]
fn a_hose_that_is_held_and_air_that_differs() {
    let file = include_str!("../cases/S_thermostat.json");
    let page = Page::new(import::model(&job::read(file).unwrap()));
    let view = after(&page);
    let spot = &view.spots[0];
    assert!(
        plain(&spot.verdict).starts_with("can\u{2019}t tell: the air differed by 18 °C"),
        "{}",
        spot.verdict
    );
    let chart = spot.chart.as_ref().unwrap();
    assert_eq!(chart.sides.each_ref().map(|s| s.dots.len()), [4, 4]);
    assert!(chart.sides.iter().all(|s| s.range.is_some()));
    assert!(
        plain(&view.notes[0]).contains("Ambient was 18 °C warmer after"),
        "{:?}",
        view.notes
    );
    // Told of the thermostat, and that the hose is on its side.
    let page = page
        .act(Action::Typed(Spot::Study(StudyPart::Opens), "82".into()))
        .act(Action::After(List::Side(0).chosen("outlet").unwrap()));
    let verdict = after(&page).spots[0].verdict.clone();
    assert!(
        verdict.contains("no difference seen") && verdict.contains("held by the thermostat"),
        "{verdict}"
    );
    // One that opens sooner is named.
    let page = page.act(Action::Typed(
        Spot::Study(StudyPart::OpensAfter),
        "77".into(),
    ));
    assert!(
        plain(&after(&page).notes[0]).contains("opens 5.0 °C lower"),
        "{:?}",
        after(&page).notes
    );
}

/// Everything that is said of a survey is in the file, is kept on the device, and comes back from both.
#[test]
fn what_is_said_of_a_survey_is_kept() {
    let mut page = afterwards(van(), After::PlaceAdded);
    page = afterwards(page, After::RunAdded(When::Before));
    for (part, text) in STUDY_PARTS
        .iter()
        .zip(["1", "3", "5", "82", "95", "77", "90"])
    {
        page = page.act(Action::Typed(Spot::Study(part.0), text.into()));
    }
    for (part, text) in [
        (RunPart::Ambient, "20"),
        (RunPart::Pair, "Monday"),
        (RunPart::Stop, "noon"),
        (RunPart::Shown(0), "88"),
    ] {
        page = page.act(Action::Typed(Spot::Run(0, part), text.into()));
    }
    page = page.act(Action::After(List::Side(0).chosen("inlet").unwrap()));
    page = page.act(Action::After(List::Sits(false).chosen("inlet").unwrap()));
    page = page.act(Action::After(List::Sits(true).chosen("outlet").unwrap()));
    for ran in Ran::ALL {
        page = page.act(Action::After(List::Ran(0, ran).chosen("some").unwrap()));
    }
    let survey = page.draft.job.survey.clone().unwrap();
    let text = draft::file(&page.draft).unwrap();
    for key in [
        "\"difference\"",
        "\"planned\": 5",
        "\"thermostat\"",
        "\"thermostat_after\"",
        "\"full_open\"",
        "\"side\": \"inlet\"",
        "\"pair\": \"Monday\"",
        "\"stop\": \"noon\"",
        "\"fan\": \"some\"",
        "\"load\"",
        "\"speed\"",
        "\"cover\"",
        "\"heater\"",
    ] {
        assert!(text.contains(key), "{key}: {text}");
    }
    let imported = import::model(&job::read(&text).unwrap());
    assert_eq!(Page::new(imported).draft.job.survey, Some(survey.clone()));
    let kept = saved::decode(&saved::encode(&page.model)).unwrap();
    assert_eq!(Page::new(kept).draft.job.survey, Some(survey));
    // Unsaid again.
    let page = page.act(Action::After(List::Side(0).chosen("").unwrap()));
    assert_eq!(page.draft.job.survey.as_ref().unwrap().spots[0].side, None);
    // A slip is beside its field.
    let page = van().act(Action::Typed(Spot::Study(StudyPart::Planned), "1".into()));
    let error = view::field(&page, &Spot::Study(StudyPart::Planned)).error;
    assert!(error.unwrap().contains('3'));
}
