//! Formulas worked out for one setting.

use super::fail::HoleError;
use super::formula::{COUNTERS, Expr, Node, Op};
use super::number::{Num, Rounding, Way, round};
use super::rules::{Formula, Rules, Setting};
use crate::diag::Span;
use crate::diag::nearest::nearest;
use crate::limits;
use crate::quantity::Length;
use crate::standards::heads;
use std::cmp::Ordering;
use std::collections::BTreeMap;

type Found = Result<Num, HoleError>;

/// Where names get their numbers from.
pub(super) trait Names {
    fn lookup(&mut self, name: &str, span: Span) -> Found;
    /// The name of some gauge, for messages.
    fn a_gauge(&self) -> &str;
    /// Notes a rounding that was done.
    fn rounded(&mut self, rounding: Rounding);
}

/// Works out a formula; `text` is its text, for messages.
pub(super) fn eval(expr: &Expr, text: &str, names: &mut dyn Names) -> Found {
    let mut e = Eval { untaken: false, text, names };
    e.of(expr)
}

struct Eval<'a> {
    /// Within a branch not taken: its roundings are nobody's.
    untaken: bool,
    text: &'a str,
    names: &'a mut dyn Names,
}

impl Eval<'_> {
    fn words(&self, expr: &Expr) -> String {
        self.text.get(expr.span.range()).unwrap_or("").to_owned()
    }

    fn of(&mut self, expr: &Expr) -> Found {
        let found = match &expr.node {
            Node::Number(n, true) => Num::whole(*n),
            Node::Number(n, false) => Num::ratio(*n),
            Node::Percent(share) => Num::ratio(*share),
            Node::Length(l) => Num::length(*l),
            Node::Name(name) => self.names.lookup(name, expr.span)?,
            Node::Minus(inner) => {
                let n = self.of(inner)?;
                Num { n: 0.0 - n.n, ..n }
            }
            Node::Binary(op, a, b) => self.binary(*op, a, b)?,
            Node::Round(way, value, multiple, plus) => {
                self.round(*way, value, multiple.as_deref(), plus.as_deref())?
            }
            Node::Extreme(which, all) => self.extreme(*which, all)?,
            Node::Clamp(parts) => {
                let [value, low, high] = &**parts;
                let least = self.pair(Ordering::Greater, value, low)?;
                let most = self.of(high)?;
                self.alike(value, &least, high, &most, "compared")?;
                if least.order(&most).is_gt() { most } else { least }
            }
            Node::If(compare, parts) => self.choose(*compare, parts)?,
        };
        if found.sound() {
            Ok(found)
        } else {
            Err(HoleError::new("too-large", expr.span, "this number is too large to mean anything"))
        }
    }

    /// Both must be of one kind.
    fn alike(&self, a: &Expr, x: &Num, b: &Expr, y: &Num, done: &str) -> Result<(), HoleError> {
        if x.dim == y.dim {
            return Ok(());
        }
        let message = format!(
            "`{}` is {} and `{}` is {}: they cannot be {done}",
            self.words(a),
            x.kind(),
            self.words(b),
            y.kind()
        );
        let fault = HoleError::new("formula-unit", a.span.to(b.span), message);
        Err(match (x.dim, y.dim) {
            (1, 0) | (0, 1) => {
                let plain = if x.dim == 0 { a } else { b };
                let long = if x.dim == 0 { b } else { a };
                let (number, length) =
                    (bracketed(&self.words(plain)), bracketed(&self.words(long)));
                let gauge = self.names.a_gauge();
                let as_length = match plain.node {
                    Node::Number(..) => format!("{number} cm"),
                    _ => format!("{number} * {gauge}.st"),
                };
                fault.help(format!(
                    "make `{number}` a length, such as `{as_length}`, or `{length}` a number, \
                     such as `{length} / {gauge}.st`"
                ))
            }
            _ => fault,
        })
    }

    fn binary(&mut self, op: Op, a: &Expr, b: &Expr) -> Found {
        let x = self.of(a)?;
        let y = self.of(b)?;
        match op {
            Op::Add => self.alike(a, &x, b, &y, "added").map(|()| x.plus(y, 1.0)),
            Op::Subtract => {
                self.alike(a, &x, b, &y, "taken from one another").map(|()| x.plus(y, -1.0))
            }
            Op::Multiply => Ok(x.times(y)),
            Op::Divide if y.n == 0.0 => {
                let message =
                    format!("`{}` is 0 here, and nothing can be divided by 0", self.words(b));
                Err(HoleError::new("divide-by-zero", b.span, message))
            }
            Op::Divide => Ok(x.over(y)),
        }
    }

    fn round(
        &mut self,
        way: Way,
        value_at: &Expr,
        multiple_at: Option<&Expr>,
        plus_at: Option<&Expr>,
    ) -> Found {
        let value = self.of(value_at)?;
        let unit = if value.dim == 0 { Num::whole(1.0) } else { Num::length(Length::mm(1.0)) };
        let multiple = match multiple_at {
            Some(at) => {
                let m = self.of(at)?;
                self.alike(value_at, &value, at, &m, "rounded one to the other")?;
                if m.n <= 0.0 || (m.dim == 0 && !m.whole) {
                    let message = format!(
                        "a multiple must be a whole number of 1 or more; `{}` is {}",
                        self.words(at),
                        crate::quantity::number(m.n, 3)
                    );
                    return Err(HoleError::new("bad-multiple", at.span, message));
                }
                m
            }
            None => Num { dim: value.dim, ..unit },
        };
        let plus = match plus_at {
            Some(at) => {
                let p = self.of(at)?;
                self.alike(value_at, &value, at, &p, "rounded one to the other")?;
                p
            }
            None => Num { n: 0.0, dim: value.dim, ..Num::whole(0.0) },
        };
        let n = round(value.n, multiple.n, plus.n, way);
        let rounding = Rounding {
            from: value.n,
            to: n,
            length: value.worth_of(n - value.n),
            of: value.worth_of(value.n),
            first: !value.rounded,
        };
        if !self.untaken {
            self.names.rounded(rounding);
        }
        let whole = value.dim == 0 && multiple.whole && plus.whole;
        Ok(Num { n, whole, rounded: true, ..value })
    }

    fn pair(&mut self, which: Ordering, a: &Expr, b: &Expr) -> Found {
        let x = self.of(a)?;
        let y = self.of(b)?;
        self.alike(a, &x, b, &y, "compared")?;
        Ok(if y.order(&x) == which { y } else { x })
    }

    fn extreme(&mut self, which: Ordering, all: &[Expr]) -> Found {
        let Some((first, rest)) = all.split_first() else { return Ok(Num::whole(0.0)) };
        let mut best = self.of(first)?;
        for part in rest {
            let next = self.of(part)?;
            self.alike(first, &best, part, &next, "compared")?;
            if next.order(&best) == which {
                best = next;
            }
        }
        Ok(best)
    }

    /// Both branches are worked out, so that a slip in either is told in every size; but
    /// the branch not taken may divide by zero, for that may be what `if` is there for.
    fn choose(&mut self, compare: super::formula::Compare, parts: &[Expr; 4]) -> Found {
        let [a, b, then, otherwise] = parts;
        let x = self.of(a)?;
        let y = self.of(b)?;
        self.alike(a, &x, b, &y, "compared")?;
        let holds = compare.holds(x.order(&y));
        let (taken, other) = if holds { (then, otherwise) } else { (otherwise, then) };
        let found = self.of(taken)?;
        let before = std::mem::replace(&mut self.untaken, true);
        let passed = self.of(other);
        self.untaken = before;
        match passed {
            Ok(n) => self.alike(taken, &found, other, &n, "chosen between")?,
            Err(e) if matches!(e.code, "divide-by-zero" | "bad-multiple" | "too-large") => {}
            Err(e) => return Err(e),
        }
        Ok(found)
    }
}

fn bracketed(words: &str) -> String {
    let plain = words.chars().all(|c| c.is_alphanumeric() || "_.".contains(c));
    if plain { words.to_owned() } else { format!("({words})") }
}

/// How deep formulas may nest through the names in them, all together.
const NESTING: usize = 4 * limits::FORMULA_DEPTH;

/// A number that has been found, is being found, or cannot be.
enum State {
    Busy,
    Done(Num),
    Failed,
}

/// All numbers of one setting, found as they are asked for.
pub(super) struct Solver<'r> {
    rules: &'r Rules,
    setting: &'r Setting,
    states: BTreeMap<String, State>,
    /// Names being found, outermost first; for the message of a cycle.
    path: Vec<String>,
    /// How deep the formulas being worked out nest, all together.
    nesting: usize,
    roundings: Vec<Vec<Rounding>>,
    /// Faults of named numbers, with the formula they are in.
    pub faults: Vec<(Formula, HoleError)>,
    /// Roundings by name.
    pub done: BTreeMap<String, Vec<Rounding>>,
}

impl<'r> Solver<'r> {
    pub(super) fn new(rules: &'r Rules, setting: &'r Setting) -> Self {
        Solver {
            rules,
            setting,
            states: BTreeMap::new(),
            path: Vec::new(),
            nesting: 0,
            roundings: Vec::new(),
            faults: Vec::new(),
            done: BTreeMap::new(),
        }
    }

    /// The number of this name, if it can be found; its fault is kept otherwise.
    pub(super) fn value(&mut self, name: &str) -> Option<Num> {
        self.lookup(name, Span::default()).ok()
    }

    /// A formula that stands for itself, such as a pompom's diameter.
    pub(super) fn formula(&mut self, formula: &Formula) -> Option<Num> {
        let expr = formula.expr.as_ref()?;
        match eval(expr, &formula.text.text, self) {
            Ok(n) => Some(n),
            Err(fault) => {
                if !fault.follows {
                    self.faults.push((formula.clone(), fault));
                }
                None
            }
        }
    }

    fn named(&mut self, name: &str, formula: &Formula, span: Span) -> Found {
        let Some(expr) = &formula.expr else { return Err(HoleError::follows(span, name)) };
        if self.nesting + expr.height > NESTING {
            let message = "numbers refer to one another too deeply to be worked out";
            return Err(HoleError::new("limit", span, message));
        }
        self.nesting += expr.height;
        self.states.insert(name.to_owned(), State::Busy);
        self.path.push(name.to_owned());
        self.roundings.push(Vec::new());
        let found = eval(expr, &formula.text.text, self);
        let roundings = self.roundings.pop().unwrap_or_default();
        self.path.pop();
        self.nesting -= expr.height;
        match found {
            Ok(n) => {
                let n = match self.rules.found(name, self.setting.size) {
                    Some(other) => Num::whole(other as f64),
                    None => n,
                };
                self.states.insert(name.to_owned(), State::Done(n));
                self.done.insert(name.to_owned(), roundings);
                Ok(n)
            }
            Err(fault) => {
                self.states.insert(name.to_owned(), State::Failed);
                if !fault.follows {
                    self.faults.push((formula.clone(), fault));
                }
                Err(HoleError::follows(span, name))
            }
        }
    }

    fn cycle(&self, name: &str, span: Span) -> HoleError {
        let start = self.path.iter().position(|n| n == name).unwrap_or(0);
        let mut ring: Vec<&str> = self.path.iter().skip(start).map(String::as_str).collect();
        ring.push(name);
        let message = format!("`{name}` is found from itself: {}", ring.join(" → "));
        HoleError::new("formula-cycle", span, message).help("give one of them a number of its own")
    }

    fn found(&mut self, name: &str, span: Span) -> Found {
        match self.states.get(name) {
            Some(State::Done(n)) => return Ok(*n),
            Some(State::Failed) => return Err(HoleError::follows(span, name)),
            Some(State::Busy) => return Err(self.cycle(name, span)),
            None => {}
        }
        let rules = self.rules;
        let setting = self.setting;
        if let Some(count) = rules.count(name) {
            return match count.rule.for_size(setting.size) {
                Some(formula) if name == "girth" => self.girth(formula, span),
                Some(formula) => self.named(name, formula, span),
                None => Err(HoleError::follows(span, name)),
            };
        }
        if let Some((gauge, part)) = name.split_once('.') {
            return gauge_number(rules, gauge, part, span);
        }
        let head = Num::length(setting.head);
        let ease = Num::length(setting.ease.on(setting.head));
        match name {
            "head" => Ok(head),
            "ease" => Ok(ease),
            "girth" => Ok(head.plus(ease, 1.0)),
            "pi" => Ok(Num::ratio(std::f64::consts::PI)),
            "depth" => self.depth(span),
            _ => Err(unknown(rules, name, span)),
        }
    }

    /// The design's own girth, which must be a length.
    fn girth(&mut self, formula: &Formula, span: Span) -> Found {
        let found = self.named("girth", formula, span)?;
        if found.dim == 1 {
            return Ok(found);
        }
        let words = &formula.text.text;
        let message =
            format!("`girth` is the finished girth, a length; `{words}` is {}", found.kind());
        let fault = HoleError::new("formula-unit", Span::new(0, words.len()), message)
            .help("give a number of stitches another name");
        Err(self.failed("girth", formula, fault, span))
    }

    /// Notes a fault found in a number after it was worked out.
    fn failed(&mut self, name: &str, formula: &Formula, fault: HoleError, span: Span) -> HoleError {
        self.states.insert(name.to_owned(), State::Failed);
        self.faults.push((formula.clone(), fault));
        HoleError::follows(span, name)
    }

    fn depth(&mut self, span: Span) -> Found {
        if let Some(depth) = self.setting.depth {
            return Ok(Num::length(depth));
        }
        let rules = self.rules;
        match rules.depth.get(self.setting.size).and_then(Option::as_ref) {
            None => Ok(Num::length(heads::depth_for(self.setting.head))),
            Some(formula) => {
                let found = self.named("depth", formula, span)?;
                if found.dim == 1 && found.n > 0.0 {
                    return Ok(found);
                }
                let (words, whole) =
                    (formula.text.text.as_str(), Span::new(0, formula.text.text.len()));
                let fault = if found.dim != 1 {
                    let message = format!("a depth is a length; `{words}` is {}", found.kind());
                    HoleError::new("formula-unit", whole, message)
                } else {
                    let message = format!(
                        "a depth is more than 0; `{words}` is {}",
                        Length::mm(found.n).exact_text()
                    );
                    HoleError::new("out-of-range", whole, message)
                };
                Err(self.failed("depth", formula, fault, span))
            }
        }
    }
}

impl Names for Solver<'_> {
    fn a_gauge(&self) -> &str {
        self.rules.a_gauge()
    }

    fn lookup(&mut self, name: &str, span: Span) -> Found {
        self.found(name, span)
    }

    fn rounded(&mut self, rounding: Rounding) {
        if let Some(list) = self.roundings.last_mut() {
            list.push(rounding);
        }
    }
}

pub(super) fn gauge_number(rules: &Rules, gauge: &str, part: &str, span: Span) -> Found {
    let Some(g) = rules.gauges.iter().find(|g| g.name == gauge) else {
        let names: Vec<&str> = rules.gauges.iter().map(|g| g.name.as_str()).collect();
        let fault = HoleError::new("unknown-name", span, format!("there is no gauge `{gauge}`"));
        return Err(match nearest(gauge, names.iter().copied()) {
            Some(likely) => fault.help(format!("perhaps `{likely}.{part}`?")),
            None => fault.help(format!("gauges are {}", names.join(", "))),
        });
    };
    match part {
        "st" => Ok(Num::length(g.st)),
        "row" => Ok(Num::length(g.row)),
        _ => {
            let message = format!("a gauge has no `{part}`");
            let help =
                format!("`{gauge}.st` is the width of a stitch, `{gauge}.row` the height of a row");
            Err(HoleError::new("unknown-name", span, message).help(help))
        }
    }
}

pub(super) fn unknown(rules: &Rules, name: &str, span: Span) -> HoleError {
    if COUNTERS.contains(&name) {
        let message = format!("`{name}` has a meaning only in the braces of a written text");
        return HoleError::new("unknown-name", span, message);
    }
    let fault = HoleError::new("unknown-name", span, format!("there is no number `{name}`"));
    let names = rules.names();
    match nearest(name, names.iter().map(String::as_str)) {
        Some(likely) => fault.help(format!("perhaps `{likely}`?")),
        None => fault.help(format!("known are {}", names.join(", "))),
    }
}
