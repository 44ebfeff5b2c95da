//! A job as a link and as a code: unpacked by another program's inflater, read by another program's camera.
//!
//! The links of `tests/links/golden.txt` were packed by Python's zlib and base64. Codes are read back by rqrr, from the
//! drawing the page shows.

use super::hands::van;
use miniz_oxide::{deflate::compress_to_vec, inflate::decompress_to_vec_with_limit};
use pourcard::app::{
    desk::{Desk, DeskAction, Tidings},
    link::{self, Code, Link, LinkError, MOST_CODE, MOST_LINK, MOST_TEXT, Packed},
    model::{Model, Spot},
    page::Page,
    words,
};
use pourcard::job;
use proptest::prelude::*;

const GOLDEN: &str = include_str!("../links/golden.txt");
const TRUCK: &str = include_str!("../links/truck.json");
const HERE: &str = "https://pourcard.example/counter/";

fn packed(text: &str) -> Packed {
    Packed::Deflated(compress_to_vec(text.as_bytes(), 6))
}

fn unpacked(fragment: &str) -> Result<String, LinkError> {
    match link::carried(fragment).expect("a link")? {
        Packed::Plain(bytes) => Ok(String::from_utf8(bytes).unwrap()),
        Packed::Deflated(bytes) => {
            let bytes = decompress_to_vec_with_limit(&bytes, MOST_TEXT);
            Ok(String::from_utf8(bytes.map_err(|_| LinkError::Damaged)?).unwrap())
        }
    }
}

fn page_of(text: &str) -> Page {
    Page::new(pourcard::app::import::model(&job::read(text).unwrap()))
}

fn link_of(page: &Page) -> Link {
    let texts = link::texts(&page.draft, true).unwrap();
    let made = [packed(&texts[0]), packed(&texts[1])];
    link::link(texts, HERE, &made)
}

/// The golden links and the jobs they hold.
fn golden() -> impl Iterator<Item = (&'static str, String)> {
    let lines = GOLDEN.lines().filter(|line| !line.starts_with("# "));
    lines.map(|line| {
        let (file, link) = line.split_once(" #").unwrap();
        let file = format!("{}/tests/links/{file}", env!("CARGO_MANIFEST_DIR"));
        (link, std::fs::read_to_string(file).unwrap())
    })
}

/// What a camera reads off the drawing: its path painted eight dots a module, white around.
fn read_back(code: &Code) -> String {
    let Code::Drawn(drawing) = code else {
        panic!("{code:?}")
    };
    let dots = 8;
    let side = (drawing.side as usize + 8) * dots;
    let mut dark = vec![false; side * side];
    for run in drawing.path.split_terminator('z') {
        let numbers = run.strip_prefix('M').unwrap().replace("v1h-", " ");
        let numbers: Vec<usize> = numbers
            .split([' ', 'h'])
            .map(|n| n.parse().unwrap())
            .collect();
        let [x, y, along, back] = numbers[..] else {
            panic!("{run}")
        };
        assert_eq!(along, back, "{run} does not close");
        for row in (y + 4) * dots..(y + 5) * dots {
            dark[row * side + (x + 4) * dots..][..along * dots].fill(true);
        }
    }
    let mut seen = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
        if dark[y * side + x] { 0 } else { 255 }
    });
    let grids = seen.detect_grids();
    assert_eq!(grids.len(), 1);
    let (meta, text) = grids[0].decode().unwrap();
    assert!(meta.version.0 <= 16, "version {}", meta.version.0);
    // Level M is 0 in the code's own numbering, Q 3, H 2, L 1 (ISO/IEC 18004, table 12): never below M.
    assert_ne!(meta.ecc_level, 1);
    text
}

#[test]
fn old_links_open() {
    let mut count = 0;
    for (link, file) in golden() {
        let job = link::opened(&unpacked(link).unwrap()).unwrap();
        assert_eq!(job, job::read(&file).unwrap(), "{link}");
        count += 1;
    }
    assert_eq!(count, 5);
}

#[test]
fn a_link_holds_the_whole_job() {
    for text in [TRUCK, include_str!("rich.json")] {
        let page = page_of(text);
        let address = link_of(&page).address.unwrap();
        let fragment = address.strip_prefix(HERE).unwrap().strip_prefix('#');
        let back = link::opened(&unpacked(fragment.unwrap()).unwrap()).unwrap();
        assert_eq!(back, job::read(text).unwrap());
        let plain = link::fragment(&Packed::Plain(b"{}".to_vec()));
        assert_eq!(plain, "job=1,e30");
    }
}

#[test]
fn a_job_of_one_loop_fits_the_code_and_one_of_two_is_left_to_the_link() {
    let long = link_of(&page_of(TRUCK));
    assert!(matches!(long.code, Code::TooLong(_)) && long.address.is_some());
    let link = link_of(&page_of(SMALL));
    let address = link.address.clone().unwrap();
    assert!(address.len() <= MOST_CODE, "{} bytes", address.len());
    assert_eq!(read_back(&link.code), address);
}

/// A van topped up from a pack that has its price.
const SMALL: &str = r#"{"pourcard":1,"title":"Van","shelf":[{"name":"Concentrate","glycol":"ethylene","percent":100,
"packs":[{"size":{"value":1,"unit":"L"},"price":7.9}]}],"loops":[{"glycol":"ethylene","volume":{"value":8.4,"unit":"L"},
"missing":{"value":0.6,"unit":"L"},"now":{"by":"percent","value":42},"aim":{"by":"freezing_point","value":-30,
"unit":"degC"},"coldest":{"value":-25,"unit":"degC"},"drains":{"fraction":1}}]}"#;

#[test]
fn whose_it_is_goes_into_a_link_only_where_that_was_asked_for() {
    let mut job = job::read(SMALL).unwrap();
    job.notes = Some("Miller Bakery".into());
    job.papers = Some(job::file::Papers {
        phone: "555 0100".into(),
        quote: "Q-17".into(),
        plate: "B 123".into(),
        vin: "VIN0000".into(),
        mileage: "81 000".into(),
        ..job::file::Papers::default()
    });
    let page = page_of(&job::write(&job));
    let [whole, code] = link::texts(&page.draft, false).unwrap();
    for private in ["Miller", "555 0100", "B 123", "VIN0000"] {
        assert!(
            !whole.contains(private) && !code.contains(private),
            "{private}"
        );
    }
    assert!(whole.contains("Q-17") && whole.contains("81 000"));
    let [whole, _] = link::texts(&page.draft, true).unwrap();
    assert_eq!(job::read(&whole).unwrap(), job);
    // The file has it all, and so has the record on the device.
    assert_eq!(
        pourcard::app::draft::file(&page.draft).unwrap(),
        job::write(&job)
    );
    let kept = pourcard::app::saved::decode(&pourcard::app::saved::encode(&page.model)).unwrap();
    assert_eq!(kept, *page.model);
    // Asked for one job, it is not asked for the next.
    let desk = Desk::new(Vec::new(), None, "first").act(DeskAction::LinkPrivate(true));
    assert!(desk.link_private && !desk.act(DeskAction::Empty("7".into())).link_private);
}

/// A text that does not deflate: digits of a linear congruential generator.
fn noise(letters: usize) -> String {
    let mut seed = 1_u64;
    let mut next = || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        char::from(b'a' + (seed >> 59) as u8 % 26)
    };
    (0..letters).map(|_| next()).collect()
}

#[test]
fn notes_that_do_not_fit_are_left_out_of_the_code_and_said_so() {
    let mut job = job::read(SMALL).unwrap();
    job.notes = Some(noise(600));
    let page = page_of(&job::write(&job));
    let link = link_of(&page);
    let address = link.address.clone().unwrap();
    assert!(address.len() > MOST_CODE);
    let code = read_back(&link.code);
    assert!(code.len() <= MOST_CODE, "{} bytes", code.len());
    let (_, fragment) = code.split_once('#').unwrap();
    let back = link::opened(&unpacked(fragment).unwrap()).unwrap();
    assert_eq!(back, job::file::Job { notes: None, ..job });
    assert!(words::code(&link).contains("notes"));
}

#[test]
fn a_job_too_long_for_the_code_offers_the_link() {
    let mut job = job::read(TRUCK).unwrap();
    job.loops[0].name = noise(900);
    let link = link_of(&page_of(&job::write(&job)));
    assert!(matches!(link.code, Code::TooLong(bytes) if bytes > MOST_CODE));
    let words = words::code(&link);
    assert!(words.contains("450") && words.contains("link"), "{words}");
    assert!(link.address.is_some());
    job.loops[0].name = noise(2 * MOST_LINK);
    assert!(link_of(&page_of(&job::write(&job))).address.is_none());
}

#[test]
fn every_size_of_code_reads_back() {
    for length in [60, 90, 200, 400, MOST_CODE] {
        let address = [HERE, "#job=1.", &noise(length - HERE.len() - 7)].concat();
        let code = link::drawn(&address, false).map(Code::Drawn).unwrap();
        assert_eq!(read_back(&code), address);
    }
}

#[test]
fn what_is_no_link_of_ours_is_left_alone() {
    for fragment in ["", "card", "fresh", "jobs=1.", "Job=1.AAAA"] {
        assert_eq!(link::carried(fragment), None, "{fragment}");
    }
}

#[test]
fn broken_links_are_refused_for_what_they_are() {
    let whole = GOLDEN.lines().nth(1).unwrap().split_once('#').unwrap().1;
    let cases = [
        ("job=".to_owned(), LinkError::Damaged),
        ("job=1".to_owned(), LinkError::Damaged),
        ("job=1.".to_owned(), LinkError::Damaged),
        ("job=1,".to_owned(), LinkError::Damaged),
        ("job=1;AAAA".to_owned(), LinkError::Damaged),
        ("job=01.AAAA".to_owned(), LinkError::Damaged),
        ("job=1.AA AA".to_owned(), LinkError::Damaged),
        ("job=2.AAAA".to_owned(), LinkError::Newer),
        ("job=12,AAAA".to_owned(), LinkError::Newer),
        (
            ["job=1.", &"A".repeat(MOST_LINK)].concat(),
            LinkError::TooLarge,
        ),
        // {"pourcard":2}
        ("job=1,eyJwb3VyY2FyZCI6Mn0".to_owned(), LinkError::Newer),
    ];
    for (fragment, error) in cases {
        let text = link::carried(&fragment).unwrap();
        let found = text.and_then(|_| unpacked(&fragment));
        let found = found.and_then(|text| link::opened(&text)).map(|_| ());
        assert_eq!(found, Err(error), "{fragment:.40}");
    }
    // Cut anywhere: never another job.
    let job = link::opened(&unpacked(whole).unwrap()).unwrap();
    for end in 6..whole.len() {
        let cut = link::carried(&whole[..end]).unwrap();
        let cut = cut.and_then(|_| unpacked(&whole[..end]));
        let cut = cut.and_then(|text| link::opened(&text));
        assert!(cut.as_ref() != Ok(&job), "cut at {end}");
        assert!(cut.is_err(), "cut at {end}: {cut:?}");
    }
    let LinkError::NoJob(why) = link::opened("{\"pourcard\":1}").unwrap_err() else {
        panic!()
    };
    assert!(why.contains("shelf"), "{why}");
}

#[test]
fn a_link_opens_beside_what_was_there() {
    let desk = Desk::new(Vec::new(), None, "example").act(DeskAction::On(
        pourcard::app::action::Action::Typed(Spot::Title, "Mine".into()),
    ));
    let mine = desk.records();
    let opened = desk.act(DeskAction::LinkTaken(Ok(TRUCK.into()), "7".into()));
    assert_eq!(opened.page.model.title, "Orchard truck");
    assert_eq!((opened.open.as_str(), opened.kept.len()), ("7", 1));
    assert!(opened.records().contains(&mine[0]), "mine is as it was");
    assert_eq!(opened.tidings, Some(Tidings::LinkOpened));
    for error in [
        LinkError::Newer,
        LinkError::Damaged,
        LinkError::TooLarge,
        LinkError::NoUnpacking,
    ] {
        let words = words::link_error(&error);
        let refused = desk.act(DeskAction::LinkTaken(Err(error.clone()), "7".into()));
        assert_eq!(refused.records(), mine);
        assert_eq!(refused.tidings, Some(Tidings::LinkRefused(error)));
        assert!(words.contains("stays as it was"), "{words}");
    }
    let refused = desk.act(DeskAction::LinkTaken(Ok("{}".into()), "7".into()));
    assert_eq!(refused.records(), mine);
}

#[test]
fn one_link_opened_again_opens_the_job_it_made() {
    let mut desk = Desk::new(Vec::new(), None, "example");
    for id in ["7", "8", "9"] {
        desk = desk.act(DeskAction::LinkTaken(Ok(TRUCK.into()), id.into()));
    }
    assert_eq!((desk.open.as_str(), desk.records().len()), ("7", 1));
    // From another job, too.
    let desk = desk
        .act(DeskAction::Empty("10".into()))
        .act(DeskAction::LinkTaken(Ok(TRUCK.into()), "11".into()));
    assert_eq!((desk.open.as_str(), desk.records().len()), ("7", 1));
    // Once it is changed, it is no longer the link's.
    let typed = pourcard::app::action::Action::Typed(Spot::Title, "Mine".into());
    let desk = desk
        .act(DeskAction::On(typed))
        .act(DeskAction::LinkTaken(Ok(TRUCK.into()), "12".into()));
    assert_eq!((desk.open.as_str(), desk.records().len()), ("12", 2));
}

#[test]
fn the_link_in_sight_is_always_of_the_job_in_sight() {
    let desk = Desk::new(Vec::new(), None, "first").act(DeskAction::Example("example".into()));
    assert_eq!(desk.link_wanted(), None, "nobody asked");
    let desk = desk.act(DeskAction::LinkShown(true));
    let texts = desk.link_wanted().unwrap();
    let made = [packed(&texts[0]), packed(&texts[1])];
    let made = DeskAction::LinkMade(texts, HERE.into(), made);
    let shown = desk.act(made.clone());
    assert!(shown.link().is_some() && shown.link_wanted().is_none());
    let typed = pourcard::app::action::Action::Typed(Spot::Title, "Other".into());
    let changed = shown.act(DeskAction::On(typed));
    assert!(changed.link().is_none() && changed.link_wanted().is_some());
    let late = changed.act(made);
    assert!(late.link().is_none() && late.link_wanted().is_some());
    let model = Model::empty(pourcard::app::choice::System::Metric);
    assert_eq!(link::texts(&Page::new(model).draft, false), None);
    assert!(link::texts(&van().draft, false).is_some());
}

proptest! {
    #[test]
    fn no_fragment_breaks_it(text in "job=[0-9]{0,2}[.,]?[A-Za-z0-9_=-]{0,40}", more in "\\PC{0,12}") {
        let _ = link::carried(&[text.as_str(), &more].concat());
    }

    #[test]
    fn bytes_come_back(bytes in prop::collection::vec(any::<u8>(), 1..200)) {
        for packed in [Packed::Deflated(bytes.clone()), Packed::Plain(bytes.clone())] {
            prop_assert_eq!(link::carried(&link::fragment(&packed)), Some(Ok(packed)));
        }
    }
}
