//! Job files in and out: nothing is lost.

use pourcard::app::{
    action::Action, choice::System, draft::draft, import, model::Model, page::Page, saved,
};
use pourcard::job;

/// A job that has every key there is but the forms listed below.
const RICH: &str = include_str!("rich.json");

/// Other forms of the keys that have several: key of a loop, and value; null: without it.
const FORMS: &[(&str, &str)] = &[
    ("now", r#"{"by":"percent","value":42.5}"#),
    (
        "now",
        r#"{"by":"freezing_point","value":-21,"unit":"degC","plus_minus":1.5,"side":"thin"}"#,
    ),
    (
        "now",
        r#"{"by":"freezing_point","value":-6.5,"unit":"degF"}"#,
    ),
    (
        "now",
        r#"{"by":"specific_gravity","value":1.06,"at":{"value":25,"unit":"degC"}}"#,
    ),
    (
        "now",
        r#"{"by":"refractive_index","value":1.375,"at":{"value":77,"unit":"degF"},"plus_minus":0.0003}"#,
    ),
    (
        "now",
        r#"{"by":"brix","value":26,"at":{"value":20,"unit":"degC"},"plus_minus":0.7}"#,
    ),
    ("now", r#"{"by":"water"}"#),
    (
        "now",
        r#"{"by":"flushed","left_behind":{"value":1.9,"unit":"L"},"percent":0}"#,
    ),
    (
        "now",
        r#"{"by":"flushed","left_behind":{"value":2,"unit":"US_qt"},"percent":12.5}"#,
    ),
    ("now", r#"{"by":"empty"}"#),
    ("now", r#"{"by":"unknown"}"#),
    ("aim", r#"{"by":"percent","value":50}"#),
    (
        "aim",
        r#"{"by":"freezing_point","value":-30,"unit":"degC"}"#,
    ),
    (
        "aim",
        r#"{"by":"freezing_point","value":-21.5,"unit":"degF"}"#,
    ),
    ("draw_limit", r#"null"#),
    ("drains", r#"{"fraction":0.8}"#),
    ("drains", r#"{"fraction":0.37}"#),
    ("cap_low", r#"{"fraction":0.85}"#),
    ("cap_low", r#"null"#),
    ("other_cap", r#"{"value":16,"unit":"psi"}"#),
    ("other_cap_for", r#""pressure_tank""#),
    ("maker_cap", r#"{"value":110,"unit":"kPa"}"#),
    ("heat_soak", r#"{"value":15,"unit":"degF"}"#),
    ("measure_step", r#"{"value":25,"unit":"mL"}"#),
    ("kind", r#""low_temperature""#),
    ("tank", r#""bare_radiator""#),
    ("additive", r#"null"#),
    (
        "additive",
        r#"{"rate":{"by":"percent","value":3},"limit":{"by":"percent","value":6}}"#,
    ),
    (
        "additive",
        r#"{"name":"x","rate":{"by":"parts","one_in":20},"limit":{"by":"parts","one_to":15},"already":{"value":0,"unit":"US_fl_oz"}}"#,
    ),
    (
        "additive",
        r#"{"rate":{"by":"parts","one_in":20,"one_to":19},"limit":{"by":"parts"}}"#,
    ),
    ("additive", r#"{"rate":{"by":"parts"}}"#),
    (
        "additive",
        r#"{"rate":{"by":"bottle","size":{"value":250,"unit":"mL"},"treats_to":{"value":12,"unit":"L"}}}"#,
    ),
    (
        "additive",
        r#"{"rate":{"by":"reading","now":{"value":1.5,"unit":"units/US_gal"},"aim":{"value":2.3,"unit":"units/US_gal"},"raises":{"value":1,"unit":"units/US_gal"}},"limit":{"by":"reading","now":{"value":1.5,"unit":"units/US_gal"},"aim":{"value":3,"unit":"units/US_gal"},"raises":{"value":1,"unit":"units/US_gal"}}}"#,
    ),
    ("check_back", r#"null"#),
    ("check_back", r#"{"reading":{"by":"water"}}"#),
    (
        "check_back",
        r#"{"reading":{"by":"freezing_point","value":-31.5,"unit":"degF","plus_minus":2,"side":"thin"}}"#,
    ),
    (
        "check_back",
        r#"{"reading":{"by":"brix","value":26,"at":{"value":77,"unit":"degF"}}}"#,
    ),
    (
        "check_back",
        r#"{"reading":{"by":"specific_gravity","value":1.07,"at":{"value":25,"unit":"degC"},"plus_minus":0.003}}"#,
    ),
    (
        "additive",
        r#"{"rate":{"by":"ratio","value":1,"unit":"US_fl_oz/US_qt"},"limit":{"by":"bottle","size":{"value":250,"unit":"mL"},"treats_from":{"value":6,"unit":"L"},"treats_to":{"value":12,"unit":"L"}}}"#,
    ),
];

/// The rich job in each of its forms.
fn jobs() -> Vec<job::file::Job> {
    let mut list = vec![job::read(RICH).unwrap()];
    for (key, form) in FORMS {
        let mut file: serde_json::Value = serde_json::from_str(RICH).unwrap();
        let lp = file["loops"][0].as_object_mut().unwrap();
        match serde_json::from_str(form).unwrap() {
            serde_json::Value::Null => lp.remove(*key),
            value => lp.insert((*key).into(), value),
        };
        list.push(job::read(&file.to_string()).unwrap_or_else(|e| panic!("{form}: {}", e.message)));
    }
    list
}

#[test]
fn a_file_opened_and_written_again_is_itself() {
    for job in jobs() {
        let made = draft(&import::model(&job));
        assert!(made.is_whole(), "{:?}", made.loops);
        assert_eq!(made.job, job);
    }
}

#[test]
fn what_the_page_must_always_write_means_the_same() {
    // A file that says nothing of draining puts no limit on a draw; the page writes that as "all of it".
    let mut job = job::read(RICH).unwrap();
    (job.loops[0].draw_limit, job.loops[0].drains) = (None, None);
    let made = draft(&import::model(&job)).job;
    assert!(made.loops[0].drains.unwrap().fraction >= 1.0);
    assert_eq!(job::answer(&made), job::answer(&job));
}

#[test]
fn a_new_page_writes_how_much_comes_out() {
    let page = Page::new(Model::empty(System::Metric));
    let lp = pourcard::app::draft::draft(&page.model);
    assert!(lp.job.loops.is_empty());
    let page = super::hands::van().act(Action::Chosen(pourcard::app::action::Pick::Drain(
        pourcard::app::choice::DrainBy::Tap,
    )));
    // 0.4 at the radiator's tap: a technician's answer (0.35 to 0.60) and a service manual.
    assert!((page.draft.job.loops[0].drains.unwrap().fraction - 0.4).abs() < 1e-12);
}

#[test]
fn a_record_is_the_page_to_the_letter() {
    let mut models: Vec<Model> = jobs().iter().map(import::model).collect();
    models.extend([Model::demo(), Model::empty(System::Us)]);
    for model in models {
        let page = Page::new(model)
            .act(Action::Typed(
                pourcard::app::model::Spot::Title,
                "a\\n \"b\"\n|c".into(),
            ))
            .act(Action::Typed(
                pourcard::app::model::Spot::Loop(pourcard::app::field::Field::Volume),
                "8,4,4|".into(),
            ))
            .act(Action::UnitsChosen(System::Us))
            .act(Action::StockAdded)
            .act(Action::LoopAdded);
        let mut model = (*page.model).clone();
        let read = saved::decode(&saved::encode(&model)).unwrap();
        // A row that stands open to be filled in is not kept open.
        model.shelf.iter_mut().for_each(|row| row.added = false);
        assert_eq!(read, model);
    }
}

/// Shares were typed from 0 to 1 once.
#[test]
fn a_record_with_shares_of_one_is_read_in_percent() {
    use super::hands::Hands;
    use pourcard::app::field::Field;
    let van = super::hands::van().types(Field::Renew, "7").model;
    let record = saved::encode(&van);
    let old = record.replace("l0.renew-percent %|%|7", "l0.renew ||0.07");
    assert_ne!(old, record);
    assert_eq!(saved::decode(&old), Ok((*van).clone()));
    let half_typed =
        saved::decode(&record.replace("l0.renew-percent %|%|7", "l0.cap-share ||0,,")).unwrap();
    assert_eq!(
        half_typed.current().entries.get(Field::CapShare).typed,
        "0,,"
    );
}

#[test]
fn a_record_that_cannot_be_read_says_why() {
    use saved::RecordError::{Damaged, Newer};
    let record = saved::encode(&Model::demo());
    for (text, error) in [
        (String::new(), Damaged),
        ("{}".into(), Damaged),
        ("pourcard record x".into(), Damaged),
        ("pourcard record 2\nsomething else".into(), Newer),
        (record.replace("l0.volume ", "l0.volmue "), Damaged),
        (record.replace("l0.@aim percent", "l0.@aim guess"), Damaged),
        (
            record.lines().take(2).collect::<Vec<_>>().join("\n"),
            Damaged,
        ),
    ] {
        assert_eq!(saved::decode(&text), Err(error), "{text}");
    }
}
