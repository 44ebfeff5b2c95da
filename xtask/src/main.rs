//! Project tasks.
fn main() {}
