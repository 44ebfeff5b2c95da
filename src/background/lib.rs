//! The fleet's planner and the reader of logs, for a thread to call. Absent on purpose: the thread itself, which is `background.js`.

use wasm_bindgen::prelude::wasm_bindgen;

/// As in the page.
#[global_allocator]
static MEMORY: rlsf::SmallGlobalTlsf = rlsf::SmallGlobalTlsf::new();

/// See [`pourcard::app::fleet::planner::Planner`].
#[wasm_bindgen]
#[derive(Default)]
pub struct Planner(pourcard::app::fleet::planner::Planner);

#[wasm_bindgen]
impl Planner {
    /// One without a table.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes an order, with the table it may be about, and tells what there is to show.
    pub fn take(&mut self, order: &str, table: Option<String>) -> String {
        self.0.take(order, table)
    }

    /// Plans the next slice and tells how far it is.
    pub fn go_on(&mut self) -> String {
        self.0.go_on()
    }

    /// Is there more to plan?
    pub fn runs(&self) -> bool {
        self.0.runs()
    }

    /// The table of plans, once, after it was ordered.
    pub fn csv(&mut self) -> Option<String> {
        self.0.csv()
    }
}

/// See [`pourcard::app::logs::reader::Reader`].
#[wasm_bindgen]
pub struct Logs(pourcard::app::logs::reader::Reader);

#[wasm_bindgen]
impl Logs {
    /// For an order.
    #[wasm_bindgen(constructor)]
    pub fn new(order: &str) -> Self {
        Self(pourcard::app::logs::reader::Reader::new(order))
    }

    /// Begins a file: its name, and whether it is after the change.
    pub fn begin(&mut self, name: String, after: bool) {
        self.0.begin(name, after);
    }

    /// Takes its next piece.
    pub fn feed(&mut self, piece: &[u8]) {
        self.0.feed(piece);
    }

    /// Ends it.
    pub fn end(&mut self) {
        self.0.end();
    }

    /// What they say.
    pub fn told(&self) -> String {
        self.0.told()
    }
}
