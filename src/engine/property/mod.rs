//! One quantity a file.
