//! Pourcard: volume, reading, aim and shelf in; a pour card out.
//!
//! The layers, each importing only from those below it (`tests/laws/layering.rs` enforces the arrows):
//!
//! | layer | what it is | what it never does |
//! | --- | --- | --- |
//! | `ui`, `browser` (in the binary) | Yew components and the browser's doors | compute, or call the engine |
//! | [`app`] | the page without a screen: typed text, `update`, `view` | touch a browser |
//! | [`job`] | the job file and its answer as data, versioned | physics, or words for labels |
//! | [`engine`] | physics and the plan, typed with `uom` | read a clock, a file or a screen; speak to people |

pub mod app;
pub mod engine;
pub mod job;
