//! The text of a job file as it is written.

/// JSON being written: two spaces a level, or all in one line.
#[derive(Debug, Default)]
pub struct Text {
    text: String,
    depth: usize,
    begun: bool,
    compact: bool,
}

impl Text {
    /// One that is written without a space or a line's end.
    pub fn compact() -> Self {
        Self {
            compact: true,
            ..Self::default()
        }
    }

    /// What was written.
    pub fn done(self) -> String {
        self.text
    }

    /// A number, or a name without quotes.
    pub fn word(&mut self, word: &str) {
        self.text.push_str(word);
    }

    /// A text in quotes.
    pub fn text(&mut self, text: &str) {
        self.text.push('"');
        for c in text.chars() {
            match c {
                '"' => self.text.push_str("\\\""),
                '\\' => self.text.push_str("\\\\"),
                '\n' => self.text.push_str("\\n"),
                c if u32::from(c) < 0x20 => {
                    let digit = |n: u32| char::from_digit(n, 16).unwrap_or('0');
                    self.text.push_str("\\u00");
                    self.text.push(digit(u32::from(c) / 16));
                    self.text.push(digit(u32::from(c) % 16));
                }
                c => self.text.push(c),
            }
        }
        self.text.push('"');
    }

    /// Begins an object or a list.
    pub fn open(&mut self, bracket: &str) {
        self.text.push_str(bracket);
        self.depth += 1;
        self.begun = false;
    }

    /// The place of the next item.
    pub fn next(&mut self) {
        if self.begun {
            self.text.push(',');
        }
        self.line();
        self.begun = true;
    }

    /// The next item's key.
    pub fn key(&mut self, key: &str) {
        self.next();
        self.text(key);
        self.text.push_str(if self.compact { ":" } else { ": " });
    }

    /// Ends an object or a list.
    pub fn close(&mut self, bracket: &str) {
        self.depth -= 1;
        if self.begun {
            self.line();
        }
        self.text.push_str(bracket);
        self.begun = true;
    }

    fn line(&mut self) {
        if self.compact {
            return;
        }
        self.text.push('\n');
        for _ in 0..self.depth {
            self.text.push_str("  ");
        }
    }
}
