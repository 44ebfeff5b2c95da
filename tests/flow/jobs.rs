//! The desk: jobs kept, opened, deleted, taken in.

use pourcard::app::{
    action::Action,
    choice::System,
    desk::{Desk, DeskAction, Tidings},
    model::{Model, Spot},
    saved,
};

fn title(desk: &Desk) -> &str {
    &desk.page.model.title
}

fn titled(desk: &Desk, text: &str) -> Desk {
    desk.act(DeskAction::On(Action::Typed(Spot::Title, text.into())))
}

#[test]
fn the_page_opens_empty_and_that_is_kept_once_it_is_touched() {
    let desk = Desk::new(Vec::new(), None, "first");
    assert!(desk.is_empty() && desk.records().is_empty());
    assert_eq!(*desk.page.model, Model::empty(System::Metric));
    let us = desk.act(DeskAction::On(Action::UnitsChosen(System::Us)));
    assert!(us.is_empty());
    let desk = titled(&desk, "Mine");
    assert!(!desk.is_empty());
    assert_eq!(desk.records().len(), 1);
}

#[test]
fn nothing_of_the_example_reaches_real_work() {
    let desk = titled(&Desk::new(Vec::new(), None, "first"), "Mine");
    let mine = desk.records();
    let example = desk.act(DeskAction::Example("e".into()));
    assert!(example.is_example());
    assert_eq!(example.records(), mine);
    // Whatever is done to it: it stays the example, and is not kept.
    let typed = titled(&example, "Changed");
    assert!(typed.is_example());
    assert_eq!(typed.records(), mine);
    // Left for what was there before, or for an empty job: that is as it was.
    assert_eq!(typed.before_example().unwrap().id, "first");
    let back = typed.act(DeskAction::Opened("first".into()));
    assert_eq!((back.records(), back.is_example()), (mine.clone(), false));
    assert!(back.before_example().is_none());
    let empty = typed.act(DeskAction::Empty("7".into()));
    assert_eq!(*empty.page.model, Model::empty(System::Metric));
    assert!(!empty.page.can_undo());
    assert_eq!(empty.records(), mine);
}

#[test]
fn the_example_is_shown_in_the_units_of_the_page_and_leaves_them() {
    let us = DeskAction::On(Action::UnitsChosen(System::Us));
    let desk = Desk::new(Vec::new(), None, "first").act(us);
    let example = desk.act(DeskAction::Example("e".into()));
    assert_eq!(example.page.model.system, System::Us);
    let empty = example.act(DeskAction::Empty("7".into()));
    assert_eq!(*empty.page.model, Model::empty(System::Us));
}

#[test]
fn the_example_is_kept_where_the_user_says_so() {
    let desk = Desk::new(Vec::new(), None, "first")
        .act(DeskAction::Example("e".into()))
        .act(DeskAction::ExampleKept);
    assert!(!desk.is_example());
    assert_eq!(desk.records()[0].0, "e");
}

#[test]
fn starting_empty_keeps_what_was_open() {
    let desk =
        titled(&Desk::new(Vec::new(), None, "example"), "Mine").act(DeskAction::Empty("7".into()));
    assert_eq!((title(&desk), desk.kept.len()), ("", 1));
    assert_eq!(desk.records().len(), 1);
    let desk = desk.act(DeskAction::Opened("example".into()));
    assert_eq!(
        (title(&desk), desk.kept.len(), desk.open.as_str()),
        ("Mine", 0, "example")
    );
}

#[test]
fn the_desk_is_found_as_it_was_left() {
    let desk =
        titled(&Desk::new(Vec::new(), None, "example"), "Mine").act(DeskAction::Empty("7".into()));
    let desk = titled(&desk, "Other");
    let found: Vec<_> = desk
        .records()
        .into_iter()
        .map(|(id, r)| (id, r.to_string()))
        .collect();
    let again = Desk::new(found, Some("7"), "example");
    assert_eq!((title(&again), again.kept.len()), ("Other", 1));
    assert_eq!(again.records().len(), 2);
}

#[test]
fn a_record_that_cannot_be_read_is_listed_and_left_alone() {
    let broken = "pourcard record 99\nfrom the future".to_owned();
    let desk = Desk::new(vec![("9".into(), broken.clone())], Some("9"), "example");
    assert!(desk.is_empty());
    assert_eq!(desk.kept[0].title, Err(saved::RecordError::Newer));
    let desk = desk
        .act(DeskAction::Opened("9".into()))
        .act(DeskAction::Empty("7".into()));
    assert!(
        desk.records()
            .iter()
            .any(|(id, record)| id == "9" && **record == *broken)
    );
}

#[test]
fn a_deleted_job_can_be_had_back() {
    let desk =
        titled(&Desk::new(Vec::new(), None, "example"), "Mine").act(DeskAction::Empty("7".into()));
    let gone = desk.act(DeskAction::Deleted("example".into(), "8".into()));
    assert!(gone.records().is_empty());
    assert_eq!(gone.tidings, Some(Tidings::Deleted("Mine".into())));
    assert_eq!(gone.act(DeskAction::Undeleted).records(), desk.records());
    let open = titled(&desk, "Open").act(DeskAction::Deleted("7".into(), "8".into()));
    assert_eq!((title(&open), open.open.as_str()), ("", "8"));
    let back = open.act(DeskAction::Undeleted);
    assert_eq!((title(&back), back.open.as_str()), ("Open", "7"));
    assert_eq!(back.kept.len(), 1);
}

#[test]
fn a_refused_file_leaves_everything_as_it_was() {
    let desk = titled(&Desk::new(Vec::new(), None, "example"), "Mine");
    let next = desk.act(DeskAction::Imported(vec![
        ("a.json".into(), "{".into(), "1".into()),
        ("b.json".into(), r#"{"pourcard": 2}"#.into(), "2".into()),
    ]));
    assert_eq!(next.records(), desk.records());
    let Some(Tidings::Imported { jobs, refused, .. }) = &next.tidings else {
        panic!("{:?}", next.tidings)
    };
    assert_eq!((*jobs, refused.len()), (0, 2));
    assert!(refused[1].1.contains('2'), "{refused:?}");
}

#[test]
fn a_good_file_is_opened_and_the_open_job_kept() {
    let file = pourcard::app::draft::file(&super::hands::van().draft).unwrap();
    let desk = titled(&Desk::new(Vec::new(), None, "example"), "Mine").act(DeskAction::Imported(
        vec![("van.json".into(), file, "3".into())],
    ));
    assert_eq!(title(&desk), "Bakery van, autumn service");
    assert_eq!((desk.open.as_str(), desk.kept.len()), ("3", 1));
}

#[test]
fn all_jobs_go_out_in_one_file_and_come_back() {
    let desk =
        titled(&Desk::new(Vec::new(), None, "example"), "Mine").act(DeskAction::Empty("7".into()));
    let mut desk = titled(&desk, "Other \"quoted\"\nin two lines");
    desk.take(DeskAction::On(Action::Typed(
        Spot::Loop(pourcard::app::field::Field::Volume),
        "8,4 half".into(),
    )));
    let file = desk.all_jobs();
    let back = Desk::new(Vec::new(), None, "example").act(DeskAction::Imported(vec![(
        "all.json".into(),
        file.clone(),
        "9".into(),
    )]));
    let records = |desk: &Desk| {
        let mut list: Vec<_> = desk.records().into_iter().map(|(_, r)| r).collect();
        list.sort();
        list
    };
    assert_eq!(records(&back), records(&desk));
    // Taken in once more, nothing is doubled.
    let twice = back.act(DeskAction::Imported(vec![(
        "all.json".into(),
        file,
        "10".into(),
    )]));
    assert_eq!(twice.records(), back.records());
    assert!(matches!(
        twice.tidings,
        Some(Tidings::Imported {
            jobs: 0,
            same: 2,
            ..
        })
    ));
}

#[test]
fn a_file_of_many_names_each_that_cannot_be_read() {
    let good = titled(&Desk::new(Vec::new(), None, "example"), "Mine").all_jobs();
    let file = good.replace(
        "{\n",
        "{\n \"pourcard.job.5\": \"pourcard record 99\", \"pourcard.open\": \"5\",\n",
    );
    let desk = Desk::new(Vec::new(), None, "example").act(DeskAction::Imported(vec![(
        "all.json".into(),
        file,
        "9".into(),
    )]));
    assert_eq!(title(&desk), "Mine");
    let Some(Tidings::Imported { jobs, refused, .. }) = &desk.tidings else {
        panic!("{:?}", desk.tidings)
    };
    assert_eq!((*jobs, refused.len()), (1, 1));
    assert!(refused[0].1.contains("newer"), "{refused:?}");
}

#[test]
fn kept_jobs_are_found_by_their_title() {
    let mut desk = Desk::new(Vec::new(), None, "example");
    for (i, name) in ["Tractor, spring", "Van 1", "Van 2"].iter().enumerate() {
        desk = titled(&desk, name).act(DeskAction::Empty(i.to_string()));
    }
    let found = |text: &str| -> Vec<String> {
        let desk = desk.act(DeskAction::Sought(text.into()));
        desk.found()
            .iter()
            .map(|k| k.title.clone().unwrap())
            .collect()
    };
    assert_eq!(found("").len(), 3);
    assert_eq!(found(" VAN "), ["Van 1", "Van 2"]);
    assert_eq!(found("lorry"), [""; 0]);
}
