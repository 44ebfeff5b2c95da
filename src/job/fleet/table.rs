//! Tables as text: rows of cells (RFC 4180, and what spreadsheets make of it).
//!
//! Comma, semicolon or tab, told by the first line (or by a line `sep=;`); cells in double quotes, with line ends
//! inside; a byte order mark; any line end. A row whose quote never closes is one bad row, not the rest of the file.
//! The csv crate is what the tests read and write by; the page has its own lines instead, for the bytes and for what to
//! do with that quote.

/// What stands between cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Separator {
    /// `,`
    Comma,
    /// `;`, where the decimal mark is a comma.
    Semicolon,
    /// A tab.
    Tab,
}

impl Separator {
    const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    /// Itself.
    pub const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }
}

/// A row of cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cells {
    /// The line it begins in, from 1.
    pub line: u32,
    /// Without their quotes.
    pub cells: Vec<String>,
    /// A quote was opened and never closed: the cells are those of its first line.
    pub open: bool,
}

/// A table being read.
#[derive(Debug, Clone)]
pub struct Table {
    text: String,
    at: usize,
    line: u32,
    /// Cells of its first row.
    columns: usize,
    /// Between its cells.
    pub separator: Separator,
}

impl Table {
    /// Ready to be read from its first row.
    pub fn new(text: String) -> Self {
        let mut table = Self {
            at: if text.starts_with('\u{feff}') { 3 } else { 0 },
            line: 1,
            columns: 0,
            separator: Separator::Comma,
            text,
        };
        let first = &table.text[table.at..];
        let first = first.split(['\r', '\n']).find(|line| !line.is_empty());
        let first = first.unwrap_or_default();
        let stated = first.strip_prefix("sep=").map(str::as_bytes);
        let count = |s: Separator| separators(first, s.byte());
        let (mut most, mut chosen) = (0, Separator::Comma);
        for separator in Separator::ALL {
            if stated.is_some_and(|stated| stated == [separator.byte()]) {
                table.separator = separator;
                table.next_row();
                table.columns = 0;
                return table;
            }
            if count(separator) > most {
                (most, chosen) = (count(separator), separator);
            }
        }
        table.separator = chosen;
        table
    }

    /// How much of it was read, 0 to 1.
    pub fn progress(&self) -> f64 {
        if self.text.is_empty() {
            1.0
        } else {
            self.at as f64 / self.text.len() as f64
        }
    }

    /// The next row that has anything in it; `None` at the end.
    pub fn next_row(&mut self) -> Option<Cells> {
        loop {
            let bytes = self.text.as_bytes();
            match bytes.get(self.at)? {
                b'\n' => {
                    self.line += 1;
                    self.at += 1;
                }
                b'\r' => {
                    if bytes.get(self.at + 1) != Some(&b'\n') {
                        self.line += 1;
                    }
                    self.at += 1;
                }
                _ => return Some(self.row()),
            }
        }
    }

    fn row(&mut self) -> Cells {
        let (begin, line) = (self.at, self.line);
        let end = self.text.len();
        let cells = self.cells(end);
        let rest = &self.text.as_bytes()[begin..];
        let length = rest.iter().position(|b| matches!(b, b'\r' | b'\n'));
        let first = &rest[..length.unwrap_or(rest.len())];
        if let Some(cells) = cells.filter(|cells| self.line == line || !self.swallows(cells)) {
            if self.columns == 0 {
                self.columns = cells.len();
            }
            return Cells {
                line,
                cells,
                open: false,
            };
        }
        let end = begin + first.len();
        (self.at, self.line) = (begin, line);
        let cells = self.cells(end).unwrap_or_default();
        self.at = end;
        Cells {
            line,
            cells,
            open: true,
        }
    }

    /// Of a row of several lines: was its quote meant to close in the first of them, and does what seems to close it
    /// belong to another row? So it is where there are more cells than the heading has, or where the first line has all
    /// of them already and goes on behind the quoted one.
    fn swallows(&self, cells: &[String]) -> bool {
        let separator = char::from(self.separator.byte());
        let goes_on = cells.iter().enumerate().any(|(place, cell)| {
            let first = cell.split(['\r', '\n']).next().unwrap_or_default();
            let begun = place + 1 + first.matches(separator).count();
            first.len() < cell.len() && place + 1 < self.columns && begun >= self.columns
        });
        self.columns > 1 && (cells.len() > self.columns || goes_on)
    }

    /// The cells from here to the line's end, up to `end` of the text; `None` where a quote stays open in the whole, or
    /// what closes it lines further down stands in the middle of something.
    fn cells(&mut self, end: usize) -> Option<Vec<String>> {
        let bytes = &self.text.as_bytes()[..end];
        let separator = self.separator.byte();
        let (mut cells, mut cell) = (Vec::new(), Vec::new());
        let (mut at, mut line) = (self.at, self.line);
        let mut begins = true;
        let mut quoted = false;
        loop {
            let byte = bytes.get(at).copied();
            if quoted {
                match byte {
                    None if end == self.text.len() => return None,
                    None => quoted = false,
                    Some(b'"') if bytes.get(at + 1) == Some(&b'"') => {
                        cell.push(b'"');
                        at += 2;
                    }
                    Some(b'"') => {
                        at += 1;
                        let next = bytes.get(at).copied();
                        let ends = next.is_none_or(|b| b == separator || b == b'\r' || b == b'\n');
                        if line > self.line && !ends {
                            return None;
                        }
                        quoted = false;
                    }
                    Some(b) => {
                        let alone = b == b'\r' && bytes.get(at + 1) != Some(&b'\n');
                        line += u32::from(b == b'\n' || alone);
                        cell.push(b);
                        at += 1;
                    }
                }
                continue;
            }
            match byte {
                Some(b'"') if begins => {
                    quoted = true;
                    begins = false;
                }
                Some(b) if b != separator && b != b'\r' && b != b'\n' => {
                    cell.push(b);
                    begins = false;
                }
                ended => {
                    // Cut at ASCII bytes only, so the text is still whole.
                    let text = String::from_utf8(std::mem::take(&mut cell));
                    cells.push(text.unwrap_or_default());
                    if ended != Some(separator) {
                        (self.at, self.line) = (at, line);
                        return Some(cells);
                    }
                    begins = true;
                }
            }
            at += 1;
        }
    }
}

/// Separators in a line outside quotes.
fn separators(line: &str, separator: u8) -> usize {
    let mut quoted = false;
    let mut count = 0;
    for byte in line.bytes() {
        if byte == b'"' {
            quoted = !quoted;
        } else if byte == separator && !quoted {
            count += 1;
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::super::write::Writer;
    use super::*;
    use proptest::prelude::*;

    fn all(text: &str) -> Vec<Cells> {
        let mut table = Table::new(text.to_owned());
        std::iter::from_fn(|| table.next_row()).collect()
    }

    fn cells(text: &str) -> Vec<Vec<String>> {
        all(text).into_iter().map(|row| row.cells).collect()
    }

    #[test]
    fn separators_are_told_by_the_first_line() {
        for text in [
            "a,b\n1,2",
            "a;b\n1;2",
            "a\tb\r\n1\t2\r\n",
            "\u{feff}a,b\r1,2",
            "\n\na;b\n\n1;2\n\n",
            "sep=;\r\na;b\r\n1;2",
            "\"a\";\"b\"\n\"1\";\"2\"",
        ] {
            assert_eq!(cells(text), [["a", "b"], ["1", "2"]], "{text:?}");
        }
        assert_eq!(cells("\"a,b,c\";d\n1;2")[0], ["a,b,c", "d"]);
        assert_eq!(cells("alone"), [["alone"]]);
        assert!(all("").is_empty() && all("\u{feff}\r\n").is_empty());
    }

    #[test]
    fn lines_are_counted_through_quotes_and_blank_lines() {
        let rows = all("a,b\r\n\r\n\"x\r\ny\",1\r\nz,2\n\"p\rq\",3\rr,4");
        let lines: Vec<u32> = rows.iter().map(|row| row.line).collect();
        assert_eq!(lines, [1, 3, 5, 6, 8]);
        assert_eq!(rows[1].cells, ["x\r\ny", "1"]);
    }

    #[test]
    fn a_quote_that_never_closes_is_one_bad_row() {
        let rows = all("a,b\n\"open,1\nc,2\nd,3");
        assert_eq!(rows.len(), 4);
        assert!(rows[1].open && rows[1].line == 2);
        assert_eq!(rows[2].cells, ["c", "2"]);
        assert!(!rows[3].open && rows[3].line == 4);
    }

    #[test]
    fn a_quote_that_another_row_seems_to_close_is_one_bad_row() {
        for (text, rest) in [
            ("a,b\n\"open,1\n\"c\",2\nd,3", [["c", "2"], ["d", "3"]]),
            ("a,b\n\"open,1\nc,\"2\"\nd,3", [["c", "2"], ["d", "3"]]),
            (
                "a,b\n\"open,1\n5\" can,2\nd,3",
                [["5\" can", "2"], ["d", "3"]],
            ),
            (
                "a,b\n\"open,1\r\ncan 5\",2\nd,3",
                [["can 5\"", "2"], ["d", "3"]],
            ),
            ("a,b\n\"open,1\nc,\"\"\nd,\"3\"", [["c", ""], ["d", "3"]]),
        ] {
            let rows = all(text);
            assert!(rows[1].open && rows[1].line == 2, "{text:?}");
            assert_eq!(cells(text)[2..], rest, "{text:?}");
            assert!(rows[2..].iter().all(|row| !row.open), "{text:?}");
        }
        // A cell of several lines stays one.
        assert_eq!(cells("a,b\n\"of\ntwo\",1")[1], ["of\ntwo", "1"]);
        assert_eq!(cells("sep=,\na,b\n\"of\ntwo\",1")[1], ["of\ntwo", "1"]);
        assert_eq!(cells("a,b\n1,\"x, y\nz\"")[1], ["1", "x, y\nz"]);
    }

    proptest! {
        /// What the csv crate writes is read as it was, and what is written here the csv crate reads.
        #[test]
        fn as_the_csv_crate(rows in prop::collection::vec(prop::collection::vec("[a-c ,;\t\"\r\n'é]{0,6}", 3), 1..6)) {
            // A cell whose first line seems to fill the row is taken for a quote left open.
            let is_odd = |(place, cell): (usize, &String)| {
                let first = cell.split(['\r', '\n']).next().unwrap_or_default();
                first.len() < cell.len() && place < 2 && place + first.matches(',').count() >= 2
            };
            prop_assume!(!rows.iter().any(|row| row.iter().enumerate().any(is_odd)));
            let mut writer = csv::Writer::from_writer(Vec::new());
            writer.write_record(["h1", "h2", "h3"]).unwrap();
            let mut own = Writer::new(Separator::Comma);
            for row in &rows {
                writer.write_record(row).unwrap();
                row.iter().for_each(|cell| own.cell(cell));
                own.end();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            prop_assert_eq!(&cells(&text)[1..], &rows[..]);
            let text = own.done();
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
            let read: Vec<Vec<String>> = reader
                .records()
                .map(|r| r.unwrap().iter().map(str::to_owned).collect())
                .collect();
            prop_assert_eq!(read, rows);
        }

        /// Any text at all: no panic, every line in at most one row, the end is reached.
        #[test]
        fn any_text_is_read_to_its_end(text in "[a,;\t\"\r\n= é]{0,60}") {
            let mut table = Table::new(text);
            let mut last = 0;
            while let Some(row) = table.next_row() {
                prop_assert!(row.line > last);
                last = row.line;
            }
            prop_assert!((table.progress() - 1.0).abs() < 1e-12);
        }
    }
}
