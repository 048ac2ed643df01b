//! Cautions for those who wear the hat, chosen by age and by what is on it.
//!
//! Nothing here is legal advice or promises that a rule is met: several rules that are
//! commonly quoted for hats exempt them, and laws differ and change.

use super::{Published, embedded, load};
use serde::Deserialize;
use std::sync::LazyLock;

/// One caution with when it is printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Caution {
    /// A short name.
    pub id: String,
    /// Printed where some wearer is younger than so many months.
    pub under_months: Option<u32>,
    /// Printed where the hat has any of these; empty means always.
    #[serde(default)]
    pub with: Vec<String>,
    /// Printed for any child's size.
    #[serde(default)]
    pub child: bool,
    /// The rules behind it, by id.
    #[serde(default)]
    pub rules: Vec<String>,
    /// The words printed.
    pub text: String,
}

/// A published rule, in short.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct SafetyRule {
    /// A short name.
    pub id: String,
    /// Who published it.
    pub body: String,
    /// What it says, in short, with what it exempts.
    pub text: String,
    /// Where that was read.
    pub source: String,
    /// Whether it was seen there; else it is from memory.
    pub seen: bool,
}

#[derive(Clone, Debug, Deserialize)]
struct Trim {
    id: String,
}

#[derive(Default, Deserialize)]
struct File {
    cautions: Published<Caution>,
    rules: Published<SafetyRule>,
    trims: Published<Trim>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::SAFETY));

/// What the cautions need to know of one size of a hat.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wearer<'a> {
    /// Age in months of the youngest wearer; none for an adult's size.
    pub from_months: Option<u32>,
    /// What is on the hat: the trims by id, and "pompom", "fur", "neck".
    pub has: Vec<&'a str>,
}

impl Caution {
    /// Whether it is to be printed for this wearer.
    pub fn concerns(&self, wearer: &Wearer<'_>) -> bool {
        let young = self.under_months.is_none_or(|u| wearer.from_months.is_some_and(|m| m < u));
        let child = !self.child || wearer.from_months.is_some();
        let has = self.with.is_empty() || self.with.iter().any(|w| wearer.has.contains(&&**w));
        young && child && has
    }
}

/// Every caution, in printing order.
pub fn cautions() -> &'static Published<Caution> {
    &FILE.cautions
}

/// The rules behind the cautions.
pub fn rules() -> &'static [SafetyRule] {
    &FILE.rules.rows
}

/// The cautions for one wearer, in printing order.
pub fn cautions_for(wearer: &Wearer<'_>) -> Vec<&'static Caution> {
    FILE.cautions.rows.iter().filter(|c| c.concerns(wearer)).collect()
}

/// The words for trims that a design file may list.
pub fn trims() -> Vec<&'static str> {
    FILE.trims.rows.iter().map(|t| t.id.as_str()).collect()
}
