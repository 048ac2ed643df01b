//! The graded design: numbers by size, and the braces of written text worked out.

use super::eval::{Names, eval, gauge_number, unknown};
use super::fail::HoleError;
use super::formula::Expr;
use super::number::{Num, Rounding, Value};
use super::parse::parse;
use super::rules::Rules;
use crate::diag::Span;
use crate::quantity::Length;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

/// How one number of one size was found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trace {
    /// The number's name.
    pub name: String,
    /// The formula as written.
    pub expression: String,
    /// The formula with the values put in.
    pub filled: String,
    /// What came out.
    pub result: Value,
    /// Each rounding on the way.
    pub roundings: Vec<Rounding>,
    /// Whether the result is what the yarn gives, and the formula only the least of it.
    pub until_ball_ends: bool,
}

impl Trace {
    /// What rounding added to (or, below zero, took from) the length the number stands for.
    pub fn lost(&self) -> Option<Length> {
        let lengths: Option<Vec<Length>> = self.roundings.iter().map(|r| r.length).collect();
        lengths.filter(|l| !l.is_empty()).map(|l| l.into_iter().sum())
    }

    /// One line: name, formula, values, result, and what rounding cost.
    pub fn line(&self) -> String {
        if self.until_ball_ends {
            return format!(
                "{} = until the ball ends = {}  (at least {} = {})",
                self.name, self.result, self.expression, self.filled
            );
        }
        let mut out = format!("{} = {}", self.name, self.expression);
        if self.filled != self.expression {
            out.push_str(&format!(" = {}", self.filled));
        }
        let result = self.result.to_string();
        if result != self.filled {
            out.push_str(&format!(" = {result}"));
        }
        match self.lost() {
            Some(lost) if lost.to_mm() >= 0.05 => {
                out.push_str(&format!("  (rounding adds {})", lost.mm_text()));
            }
            Some(lost) if lost.to_mm() <= -0.05 => {
                out.push_str(&format!("  (rounding takes {})", lost.abs().mm_text()));
            }
            _ => {}
        }
        out
    }
}

/// The numbers of one size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GradedSize {
    /// The id used in the design file.
    pub id: String,
    /// The name printed.
    pub name: String,
    /// The head it is graded for.
    pub head: Length,
    /// The smallest head it is for.
    pub head_min: Length,
    /// The largest head it is for.
    pub head_max: Length,
    /// Age in months from and to, where it is a child's size.
    pub months: Option<(u32, u32)>,
    /// The depth wished for, cuff turned as worn.
    pub depth: Length,
    /// What is added to the head (below zero: taken off).
    pub ease: Length,
    /// The finished girth wished for: the design's own `girth`, else head and ease.
    pub girth: Length,
    /// The design's numbers by name.
    pub values: BTreeMap<String, Value>,
    /// How each was found, in the file's order.
    pub traces: Vec<Trace>,
    /// The pompom's diameter, if there is one.
    pub pompom: Option<Length>,
    /// What is folded up of each piece, in the design's order.
    #[serde(skip)]
    pub folds: Vec<Option<Length>>,
}

/// A formula in the braces of a text, read once.
#[derive(Clone, Debug)]
pub struct Hole {
    expr: Arc<Expr>,
    text: Arc<str>,
}

type Cache = BTreeMap<String, Result<Hole, HoleError>>;

/// A design's numbers in every size.
#[derive(Debug)]
pub struct Graded {
    /// The sizes, in the design's order.
    pub sizes: Vec<GradedSize>,
    pub(super) rules: Rules,
    /// Every number of every size with its worth, for holes.
    pub(super) nums: Vec<BTreeMap<String, Num>>,
    /// Holes read so far. Purely a store: it never changes an answer.
    pub(super) holes: Mutex<Cache>,
}

impl Clone for Graded {
    fn clone(&self) -> Self {
        Graded {
            sizes: self.sizes.clone(),
            rules: self.rules.clone(),
            nums: self.nums.clone(),
            holes: Mutex::default(),
        }
    }
}

impl PartialEq for Graded {
    fn eq(&self, other: &Self) -> bool {
        self.sizes == other.sizes && self.rules == other.rules && self.nums == other.nums
    }
}

/// A counter in a run of rounds written once: the round's own number, and which it is in
/// the run, from 1.
pub type Counter = (i64, i64);

struct HoleNames<'g> {
    rules: &'g Rules,
    nums: Option<&'g BTreeMap<String, Num>>,
    counter: Option<Counter>,
}

impl Names for HoleNames<'_> {
    fn a_gauge(&self) -> &str {
        self.rules.a_gauge()
    }

    fn lookup(&mut self, name: &str, span: Span) -> Result<Num, HoleError> {
        if let Some(n) = self.nums.and_then(|nums| nums.get(name)) {
            return Ok(*n);
        }
        match (name, self.counter) {
            ("round", Some((round, _))) => return Ok(Num::whole(round as f64)),
            ("step", Some((_, step))) => return Ok(Num::whole(step as f64)),
            ("round" | "step", None) => {
                let message =
                    format!("`{name}` has no meaning in a line that is not a round or row");
                return Err(HoleError::new("unknown-name", span, message));
            }
            _ => {}
        }
        if self.rules.count(name).is_some() || name == "depth" {
            return Err(HoleError::follows(span, name));
        }
        match name.split_once('.') {
            Some((gauge, part)) => gauge_number(self.rules, gauge, part, span),
            None => Err(unknown(self.rules, name, span)),
        }
    }

    fn rounded(&mut self, _: Rounding) {}
}

impl Graded {
    /// The position of a size.
    pub fn size(&self, id: &str) -> Option<usize> {
        self.sizes.iter().position(|s| s.id == id)
    }

    /// Reads the formula of a hole, once for all sizes and rounds.
    ///
    /// # Errors
    /// [`HoleError`] where it is no formula.
    pub fn hole(&self, text: &str) -> Result<Hole, HoleError> {
        let read = || parse(text).map(|expr| Hole { expr: Arc::new(expr), text: Arc::from(text) });
        let Ok(mut holes) = self.holes.lock() else { return read() };
        if let Some(known) = holes.get(text) {
            return known.clone();
        }
        let fresh = read();
        holes.insert(text.to_owned(), fresh.clone());
        fresh
    }

    /// The value of a hole for one size.
    ///
    /// # Errors
    /// [`HoleError`] where a name is unknown or units do not agree.
    pub fn eval(
        &self,
        size: usize,
        hole: &Hole,
        counter: Option<Counter>,
    ) -> Result<Value, HoleError> {
        let mut names = HoleNames { rules: &self.rules, nums: self.nums.get(size), counter };
        let found = eval(&hole.expr, &hole.text, &mut names)?;
        let message = format!("`{}` is {}", hole.text, found.kind());
        found.value().ok_or_else(|| HoleError::new("formula-unit", hole.expr.span, message))
    }

    /// The whole number that stands in a text's braces, for one size. `counter` is the
    /// round's own number and which it is in a run of rounds written once, from 1.
    ///
    /// # Errors
    /// [`HoleError`]: no formula (`formula-syntax`), an unknown name, units that do not
    /// agree, or (`graded-number`) a length, a number that was never rounded, one below zero.
    pub fn eval_hole(
        &self,
        size: usize,
        text: &str,
        counter: Option<Counter>,
    ) -> Result<i64, HoleError> {
        let hole = self.hole(text)?;
        let span = hole.expr.span;
        let shown = text.trim();
        match self.eval(size, &hole, counter)? {
            Value::Count(n) if n < 0 => {
                let message = format!("`{shown}` is {n}: no stitch can be made less than no times");
                Err(HoleError::new("graded-number", span, message))
            }
            Value::Count(n) => Ok(n),
            Value::Ratio(x) => {
                let value = crate::quantity::number(x, 3);
                let message = format!("`{shown}` is {value}, which was never made a whole number");
                Err(HoleError::new("graded-number", span, message).help(format!(
                    "write `nearest({shown})`, or to a multiple: `nearest({shown}, 4)`"
                )))
            }
            Value::Length(l) => {
                let message = format!("`{shown}` is a length ({}), not a count", l.exact_text());
                Err(HoleError::new("graded-number", span, message).help(format!(
                    "divide it by a stitch width or a row height: `nearest({shown} / {}.st)`",
                    self.rules.a_gauge()
                )))
            }
        }
    }
}
