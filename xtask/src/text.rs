//! What the commands read and print: text, whatever the bytes were, and whoever listens.

use std::io::{ErrorKind, Write};
use std::process::ExitCode;

use anyhow::{Context, Result};

/// Bytes as the text they are, without a byte order mark.
///
/// # Errors
/// In words, where they are not UTF-8: nothing is guessed, because a wrong guess changes names.
pub fn read(what: &str, bytes: Vec<u8>) -> Result<String, String> {
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to() + 1;
        let line = error.as_bytes()[..at - 1].iter().filter(|b| **b == b'\n');
        let line = line.count() + 1;
        format!("{what} is not UTF-8 text (byte {at}, in line {line}); save it as UTF-8")
    })?;
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    })
}

/// Text on standard output. Where nobody reads on, that is the end of it, and no failure.
///
/// # Errors
/// What was not printed for another reason, such as a full device.
pub fn print(text: &str) -> Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        printed => printed.context("writing standard output"),
    }
}

/// A line on standard error, where there is one; no control character of what it quotes gets to a terminal.
pub fn complain(line: &str) {
    let _ = writeln!(std::io::stderr(), "{}", shown(line));
}

/// A refusal of the input: exit code 2.
pub fn refuse(command: &str, words: &str) -> ExitCode {
    complain(&format!("{command}: {words}"));
    ExitCode::from(2)
}

/// Control characters but for ends of lines and tabs, which may steer a terminal, as pictures of themselves.
pub fn shown(text: &str) -> String {
    let picture = |c: char| match c {
        '\n' | '\r' | '\t' => c,
        '\0'..='\u{1f}' => char::from_u32(0x2400 + c as u32).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        '\u{80}'..='\u{9f}' => '\u{fffd}',
        _ => c,
    };
    text.chars().map(picture).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_goes_and_what_is_no_text_is_refused() {
        assert_eq!(read("it", b"\xef\xbb\xbf{}".to_vec()).unwrap(), "{}");
        assert_eq!(read("it", b"{}".to_vec()).unwrap(), "{}");
        // "Mühle" as ISO 8859-1 has it, in the second line.
        let words = read("it", b"vehicle\nM\xfchle".to_vec()).unwrap_err();
        assert!(
            words.contains("UTF-8") && words.contains("byte 10, in line 2"),
            "{words}"
        );
    }

    #[test]
    fn no_control_character_is_shown() {
        assert_eq!(
            shown("a\tb\r\n\u{1b}[2Jc\u{9b}d\u{7f}"),
            "a\tb\r\n\u{241b}[2Jc\u{fffd}d\u{2421}"
        );
    }
}
