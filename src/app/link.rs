//! A job as a link, and as the square code of one: the whole job in the address's fragment, which no server sees.
//!
//! `#job=1.` and the job file's text, deflated (raw, RFC 1951) and in base64url without padding (RFC 4648); `#job=1,`
//! and the same text not deflated, where a browser cannot. The number is the form's version; a form once given out is
//! read for ever. The code (ISO/IEC 18004) holds the same address, without what [`brief`] leaves out if it must.
//!
//! Never done here: deflating, which is the browser's; writing the address bar.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

use super::draft::Draft;
use crate::job::{
    self,
    file::{Job, Papers},
};

/// What a fragment with a job in it begins with.
const KEY: &str = "job=";
/// The version written and read.
const VERSION: &str = "1";
/// The most characters of a link that is made or opened: beyond it, programs on the way cut.
pub const MOST_LINK: usize = 32_000;
/// The most bytes a link may unfold to.
pub const MOST_TEXT: usize = 1_000_000;
/// The most bytes of an address in a code: what version 16 holds at level M (ISO/IEC 18004, table 7).
pub const MOST_CODE: usize = 450;
/// The largest code, 81 modules a side: with its quiet zone, 4 px a module on a phone 390 px wide, for another phone to
/// read at arm's length.
const LARGEST: u8 = 16;

/// Why a link is not opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkError {
    /// Made by a newer page.
    Newer,
    /// Cut off, or altered on the way.
    Damaged,
    /// More than a job ever is.
    TooLarge,
    /// This browser cannot unpack it.
    NoUnpacking,
    /// It unfolds to what is no job: the job reader's words.
    NoJob(String),
}

/// A job's text as a link carries it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Packed {
    /// Deflated.
    Deflated(Vec<u8>),
    /// As it is.
    Plain(Vec<u8>),
}

/// What a link carries; `None` where the fragment (without its `#`) is none of ours.
pub fn carried(fragment: &str) -> Option<Result<Packed, LinkError>> {
    let body = fragment.strip_prefix(KEY)?;
    Some(unwrapped(body))
}

fn unwrapped(body: &str) -> Result<Packed, LinkError> {
    if body.len() > MOST_LINK {
        return Err(LinkError::TooLarge);
    }
    let digits = body.bytes().take_while(u8::is_ascii_digit).count();
    let (version, rest) = body.split_at(digits);
    if version != VERSION {
        // Also 01, which no page wrote.
        let ours = version.is_empty() || version.starts_with('0');
        return Err(if ours {
            LinkError::Damaged
        } else {
            LinkError::Newer
        });
    }
    let (deflated, letters) = match (rest.strip_prefix('.'), rest.strip_prefix(',')) {
        (Some(letters), _) => (true, letters),
        (_, Some(letters)) => (false, letters),
        _ => return Err(LinkError::Damaged),
    };
    let bytes = bytes_of(letters)
        .filter(|bytes| !bytes.is_empty())
        .ok_or(LinkError::Damaged)?;
    Ok(if deflated {
        Packed::Deflated(bytes)
    } else {
        Packed::Plain(bytes)
    })
}

/// The job in a link's text.
///
/// # Errors
/// [`LinkError::Newer`], or [`LinkError::NoJob`] with the reader's words.
pub fn opened(text: &str) -> Result<Job, LinkError> {
    job::read(text).map_err(|fault| match fault.code.as_str() {
        "newer_format" => LinkError::Newer,
        _ => LinkError::NoJob(fault.message),
    })
}

/// The fragment of a job's text, without the `#`.
pub fn fragment(packed: &Packed) -> String {
    let (mark, bytes) = match packed {
        Packed::Deflated(bytes) => (".", bytes),
        Packed::Plain(bytes) => (",", bytes),
    };
    [KEY, VERSION, mark, &letters_of(bytes)].concat()
}

/// The texts a link and its code are made of: the whole job, and what the code may leave out left out.
/// `None` while the page cannot be written as a job.
/// Customer, phone, plate and VIN go in only where they were asked to.
pub fn texts(draft: &Draft, private: bool) -> Option<[String; 2]> {
    if !draft.is_whole() {
        return None;
    }
    let mut job = draft.job.clone();
    if !private {
        job.notes = None;
        if let Some(papers) = &mut job.papers {
            for text in [&mut papers.phone, &mut papers.plate, &mut papers.vin] {
                text.clear();
            }
        }
        job.papers = job.papers.filter(|papers| *papers != Papers::default());
    }
    Some([job::write_compact(&job), brief(&job)])
}

/// The job without its notes and what was measured afterwards.
fn brief(job: &Job) -> String {
    let mut brief = Job {
        notes: None,
        papers: None,
        survey: None,
        ..job.clone()
    };
    for lp in &mut brief.loops {
        lp.check_back = None;
        lp.levels.clear();
    }
    job::write_compact(&brief)
}

/// A link that was made, and its code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The whole job's text it was made of.
    pub of: String,
    /// The address; `None` where it would be longer than [`MOST_LINK`].
    pub address: Option<String>,
    /// The code.
    pub code: Code,
}

/// The code of a link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Code {
    /// Drawn.
    Drawn(Drawing),
    /// Even what it must hold takes more than [`MOST_CODE`] bytes: so many.
    TooLong(usize),
}

/// A code, ready to be drawn in black on white with four modules of white around.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// The dark modules, one unit each, as an SVG path.
    pub path: String,
    /// Modules a side, without the white around.
    pub side: i32,
    /// Notes and what was measured afterwards did not fit in.
    pub trimmed: bool,
}

/// The link of a job's texts, packed, on a page at `here`.
pub fn link(texts: [String; 2], here: &str, packed: &[Packed; 2]) -> Link {
    let [whole, brief] = packed
        .each_ref()
        .map(|p| [here, "#", &fragment(p)].concat());
    let code = match (whole.len() <= MOST_CODE, brief.len() <= MOST_CODE) {
        (true, _) => drawn(&whole, false),
        (false, true) => drawn(&brief, true),
        (false, false) => None,
    };
    Link {
        code: code.map_or(Code::TooLong(brief.len()), Code::Drawn),
        address: Some(whole).filter(|address| address.len() <= MOST_LINK),
        of: texts.into_iter().next().unwrap_or_default(),
    }
}

/// An address as a code of level M; `None` where it does not fit the largest.
pub fn drawn(address: &str, trimmed: bool) -> Option<Drawing> {
    let code = QrCode::encode_segments_advanced(
        &[QrSegment::make_bytes(address.as_bytes())],
        QrCodeEcc::Medium,
        Version::MIN,
        Version::new(LARGEST),
        None,
        true,
    )
    .ok()?;
    let side = code.size();
    let mut path = String::new();
    for y in 0..side {
        let mut x = 0;
        while x < side {
            let begin = x;
            while code.get_module(x, y) {
                x += 1;
            }
            if x > begin {
                let run = (x - begin).to_string();
                let place = [begin, y].map(|n| n.to_string());
                path += &["M", &place[0], " ", &place[1], "h", &run, "v1h-", &run, "z"].concat();
            }
            x += 1;
        }
    }
    Some(Drawing {
        path,
        side,
        trimmed,
    })
}

/// The alphabet of base64url.
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

fn letters_of(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() * 4 / 3 + 3);
    for three in bytes.chunks(3) {
        let word = three
            .iter()
            .chain([0; 2].iter())
            .take(3)
            .fold(0_u32, |word, byte| word << 8 | u32::from(*byte));
        for place in 0..=three.len() {
            text.push(char::from(
                LETTERS[(word >> (18 - 6 * place)) as usize & 63],
            ));
        }
    }
    text
}

/// `None` where a letter is none of them, or the last of them says more than it should.
fn bytes_of(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len() * 3 / 4);
    for four in text.as_bytes().chunks(4) {
        let mut word = 0_u32;
        for letter in four {
            word = word << 6 | LETTERS.iter().position(|l| l == letter)? as u32;
        }
        let whole = four.len() - 1;
        let spare = 6 * four.len() - 8 * whole;
        if whole == 0 || word & ((1 << spare) - 1) != 0 {
            return None;
        }
        word >>= spare;
        bytes.extend((0..whole).rev().map(|place| (word >> (8 * place)) as u8));
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10, without padding; and the two letters base64url has of its own.
    #[test]
    fn base64url_by_its_vectors() {
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg"),
            ("fo", "Zm8"),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg"),
            ("fooba", "Zm9vYmE"),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(letters_of(bytes.as_bytes()), text);
            assert_eq!(bytes_of(text).as_deref(), Some(bytes.as_bytes()));
        }
        assert_eq!(letters_of(&[0xfb, 0xff]), "-_8");
        for broken in ["A", "Zg=", "Zh", "Zm9", "Zm9v+", "Z g", "Zmé"] {
            assert_eq!(bytes_of(broken), None, "{broken}");
        }
    }
}
