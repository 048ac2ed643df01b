#![no_main]
//! See `checks::design`.

#[path = "../checks.rs"]
mod checks;
#[allow(dead_code)]
#[path = "../../say/normal.rs"]
mod normal;
#[allow(dead_code)]
#[path = "../../say/sheet.rs"]
mod sheet;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| checks::design(bytes));
