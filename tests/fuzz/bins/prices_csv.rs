#![no_main]

#[path = "../targets/mod.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|data: &[u8]| targets::run("prices_csv", data));
