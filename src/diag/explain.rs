//! The pages behind `brimwright explain`: for each code what it checks, why it matters, a
//! bad and a good example. The pages are data; the tests run every example.

use serde::Deserialize;
use std::sync::OnceLock;

/// One page.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Page {
    /// The stable slug.
    pub code: String,
    /// One line.
    pub title: String,
    /// What is checked.
    pub checks: String,
    /// Why it matters to the maker or the buyer.
    pub why: String,
    /// What the examples are.
    #[serde(default)]
    pub example: Kind,
    /// An example that has the fault; empty where none can be written down.
    #[serde(default)]
    pub bad: String,
    /// The same, mended.
    #[serde(default)]
    pub good: String,
}

/// What an example is.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Plain written text, as for `proof --text`.
    #[default]
    Text,
    /// A few keys of a design file, laid over the smallest whole design.
    Design,
    /// Keys and pieces of a design file, laid over a small hat that is then worked.
    Hat,
    /// A theme file.
    Theme,
    /// A tester card.
    Card,
    /// A situation that no text shows (a folder that cannot be written).
    Situation,
}

#[derive(Deserialize)]
struct Book {
    page: Vec<Page>,
}

/// All pages, ordered by code. A room's pages stand in a file of its own.
pub fn pages() -> &'static [Page] {
    static PAGES: OnceLock<Vec<Page>> = OnceLock::new();
    PAGES.get_or_init(|| {
        let files = [
            include_str!("explain/cards.toml"),
            include_str!("explain/desk.toml"),
            include_str!("explain/measures.toml"),
            include_str!("explain/design.toml"),
            include_str!("explain/grading.toml"),
            include_str!("explain/page.toml"),
            include_str!("explain/text.toml"),
        ];
        let mut pages: Vec<Page> = files
            .iter()
            .filter_map(|f| toml::from_str::<Book>(f).ok())
            .flat_map(|b| b.page)
            .collect();
        pages.sort_by(|a, b| a.code.cmp(&b.code));
        pages
    })
}

/// The page of a code as text for the terminal.
///
/// # Errors
/// The nearest known code, if any is near, where there is no such page.
pub fn page(code: &str) -> Result<String, Option<String>> {
    match pages().iter().find(|p| p.code == code) {
        Some(p) => Ok(drawn(p)),
        None => Err(pages()
            .iter()
            .map(|p| (crate::diag::nearest::distance(code, &p.code), &p.code))
            .min()
            .filter(|(d, _)| *d <= 3)
            .map(|(_, c)| c.clone())),
    }
}

/// All codes with their titles.
pub fn list() -> String {
    let wide = pages().iter().map(|p| p.code.len()).max().unwrap_or(0);
    pages().iter().map(|p| format!("{:wide$}  {}\n", p.code, p.title)).collect()
}

fn drawn(p: &Page) -> String {
    let mut out = format!("{}: {}\n\nWhat it checks\n", p.code, p.title);
    let indent = |text: &str| -> String {
        text.trim().lines().map(|l| format!("  {}\n", l.trim_end())).collect()
    };
    out.push_str(&indent(&p.checks));
    out.push_str("\nWhy it matters\n");
    out.push_str(&indent(&p.why));
    if !p.bad.is_empty() {
        out.push_str("\nNot so\n");
        out.push_str(&indent(&p.bad));
    }
    if !p.good.is_empty() {
        out.push_str("\nBut so\n");
        out.push_str(&indent(&p.good));
    }
    out
}
