//! The link and its code in words.

use super::filled;
use crate::app::link::{Code, Link, LinkError, MOST_CODE};

/// Opens and closes the link's view.
pub const LINK: &str = "Link and code";
/// What a link is.
pub const LINK_IS: &str = "The link holds the whole job. It is kept nowhere else: whoever has the link can read the job, and no server sees it. It opens without a signal where this page has been opened before.";
/// Copies it.
pub const COPY_LINK: &str = "Copy the link";
/// It was copied.
pub const LINK_COPIED: &str = "The link was copied.";
/// It cannot be made yet.
pub const LINK_WHY: &str = "A link can be made once every system is filled in.";
/// It is too long.
pub const LINK_LONG: &str = "This job is too long for a link. Export the job file instead.";
/// The code's picture.
pub const CODE: &str = "Square code of this job\u{2019}s link";
/// What to do with it.
pub const CODE_IS: &str = "Scan with a phone to open this job there.";
/// What it leaves out.
pub const CODE_TRIMMED: &str =
    "Papers, notes and what was measured afterwards did not fit into the code; the link has them.";
/// A job came by a link.
pub const LINK_OPENED: &str =
    "A job came with the link and is open now. What was here stays in the list of jobs.";

/// What there is to say of a code.
pub fn code(link: &Link) -> String {
    match &link.code {
        Code::Drawn(drawing) if drawing.trimmed => [CODE_IS, " ", CODE_TRIMMED].concat(),
        Code::Drawn(_) => CODE_IS.to_owned(),
        Code::TooLong(bytes) => filled(
            "This job takes {} bytes as a code, and at most {} can be read off a screen. Send the link.",
            &[bytes.to_string(), MOST_CODE.to_string()],
        ),
    }
}

/// Why a link is not opened.
pub fn link_error(error: &LinkError) -> String {
    let why = match error {
        LinkError::Newer => {
            "it was made by a newer version of this page. Update this one, or ask for the job file"
        }
        LinkError::Damaged => "it is cut off or altered. Ask for it again, or for the job file",
        LinkError::TooLarge => "it is longer than any job\u{2019}s. Ask for the job file",
        LinkError::NoUnpacking => "this browser is too old to unpack it. Ask for the job file",
        LinkError::NoJob(why) => why,
    };
    filled(
        "The link was not opened: {}. What was here stays as it was.",
        &[why.to_owned()],
    )
}
