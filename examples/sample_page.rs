//! Writes the sample booklet to a file, to look at: `sample_page OUT.pdf [large] [low] [letter]
//! [tables|templates|SEED]`.
#![allow(clippy::disallowed_methods, clippy::print_stderr)]

#[path = "../tests/page_sample/mod.rs"]
mod page_sample;

use brimwright::typeset::{Paper, Theme, lay_out};
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let has = |word: &str| args.iter().any(|a| a == word);
    let Some(out) = args.first() else { return ExitCode::from(2) };
    let mut theme = if has("large") { Theme::large_print() } else { Theme::default() };
    if has("low") {
        theme = theme.saving_ink();
    }
    let paper = if has("letter") { Paper::Letter } else { Paper::A4 };
    let seed = args.iter().find_map(|a| a.parse::<u64>().ok());
    let document = match seed {
        Some(seed) => page_sample::stress::document(seed, 40),
        None if has("tables") => page_sample::stress::all_sizes(),
        None if has("templates") => page_sample::stress::templates(),
        None => page_sample::sample(),
    };
    let pages = lay_out(&document, &theme, paper);
    match pages.and_then(|pages| brimwright::pdf::write(&pages, &document)) {
        Ok(bytes) => match std::fs::write(out, bytes) {
            Ok(()) => ExitCode::SUCCESS,
            Err(why) => {
                eprintln!("{out}: {why}");
                ExitCode::from(2)
            }
        },
        Err(findings) => {
            eprintln!("{findings:#?}");
            ExitCode::FAILURE
        }
    }
}
