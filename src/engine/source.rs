//! Where a number comes from.

/// A published source and what was taken from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Author, title, edition, table.
    pub citation: &'static str,
    /// How sure the figure is, in words: the stated error, or what it cannot say.
    pub stated_error: &'static str,
}
