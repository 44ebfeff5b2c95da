//! Hostile jobs: structurally valid files whose every value may be wild. No panic, no NaN, no law broken, and what was
//! written is read back.

use crate::{sane, wild};
use pourcard::app::{import, page::Page, plain, saved, view};
use pourcard::job;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_hostile_job_breaks_the_answer(job in wild::job()) {
        let answer = job::answer(&job);
        sane::finite(&answer);
        sane::lawful(&job, &answer);
    }

    /// What can be written at all comes back the same, and is answered the same.
    #[test]
    fn a_hostile_job_written_is_read_or_refused(job in wild::job()) {
        let text = job::write(&job);
        match job::read(&text) {
            Err(fault) => prop_assert!(!fault.message.is_empty() && !fault.code.is_empty()),
            Ok(read) => {
                sane::same_file(&job::write(&read), &text);
                let (json, _) = job::answer_text(&job::write(&read));
                serde_json::from_str::<serde_json::Value>(&json).expect("an answer is JSON");
            }
        }
    }

    /// The page takes it in, shows something, and keeps it.
    #[test]
    fn no_hostile_job_breaks_the_page(job in wild::job()) {
        // A number that is none cannot be typed, nor come in a file.
        if job::read(&job::write(&job)).is_err() {
            return Ok(());
        }
        let page = Page::new(import::model(&job));
        let card = view::card(&page);
        let text = plain::text("hostile", &card);
        for bad in ["NaN", "inf "] {
            // A name may end like that.
            let typed = format!("{job:?}").contains(bad.trim());
            prop_assert!(typed || !text.contains(bad), "{}", text);
        }
        let record = saved::encode(&page.model);
        let again = saved::decode(&record).unwrap_or_else(|e| panic!("{e:?}: {record}"));
        sane::same_record(&saved::encode(&again), &record);
    }
}
