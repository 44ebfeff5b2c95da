//! The page without a screen.
