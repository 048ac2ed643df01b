//! Formulas read from text.
//!
//! ```text
//! formula    = sum
//! sum        = product (("+" | "-") product)*
//! product    = factor (("*" | "×" | "/" | "÷") factor)*
//! factor     = "-" factor | number [unit] | name ["." name] | call | "(" sum ")"
//! call       = name "(" sum ("," sum)* ")"
//! condition  = sum ("<" | "<=" | ">" | ">=" | "==" | "!=") sum      first part of "if"
//! ```

use super::fail::HoleError;
use super::formula::{Compare, Expr, FUNCTIONS, Node, Op};
use super::number::Way;
use crate::diag::Span;
use crate::diag::nearest::nearest;
use crate::limits;
use crate::quantity::{Measure, scan};
use std::cmp::Ordering;

type Parsed = Result<Expr, HoleError>;

/// Reads a formula.
pub(super) fn parse(text: &str) -> Parsed {
    if text.len() > limits::FORMULA_BYTES {
        let message = format!("a formula has at most {} bytes", limits::FORMULA_BYTES);
        return Err(HoleError::new("limit", Span::new(0, text.len()), message));
    }
    let mut p = Parser { text, at: 0, nesting: 0 };
    p.blanks();
    if p.rest().is_empty() {
        let span = Span::new(0, text.len());
        return Err(HoleError::new("formula-syntax", span, "there is no formula here"));
    }
    let expr = p.sum()?;
    match p.rest().chars().next() {
        None => Ok(expr),
        Some(c) => Err(p.unexpected(c)),
    }
}

struct Parser<'a> {
    text: &'a str,
    at: usize,
    nesting: usize,
}

impl<'a> Parser<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn blanks(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    /// Takes this sign if it comes next.
    fn eat(&mut self, sign: &str) -> bool {
        let found = self.rest().starts_with(sign);
        if found {
            self.at += sign.len();
            self.blanks();
        }
        found
    }

    fn here(&self) -> Span {
        let len = self.rest().chars().next().map_or(0, char::len_utf8);
        Span::new(self.at, self.at + len)
    }

    fn unexpected(&self, c: char) -> HoleError {
        let fault = |m: String| HoleError::new("formula-syntax", self.here(), m);
        match c {
            '=' => fault("a formula has no `=`; equality in `if` is `==`".into()),
            '^' => fault("there are no powers; multiply instead".into()),
            '<' | '>' | '!' => fault("a comparison stands only inside `if(…)`".into())
                .help("write `if(a < b, then, otherwise)`"),
            c if c.is_alphanumeric() || c == '(' => {
                fault(format!("a sign such as `*` is missing before \"{c}\""))
            }
            c => fault(format!("\"{c}\" cannot stand here")),
        }
    }

    fn make(&self, node: Node, span: Span, height: usize) -> Parsed {
        if height >= limits::FORMULA_DEPTH {
            let message = format!("a formula nests at most {} deep", limits::FORMULA_DEPTH);
            return Err(HoleError::new("limit", span, message));
        }
        Ok(Expr { node, span, height: height + 1 })
    }

    fn sum(&mut self) -> Parsed {
        let mut left = self.product()?;
        loop {
            let op = if self.eat("+") {
                Op::Add
            } else if self.eat("-") || self.eat("−") || self.eat("–") {
                Op::Subtract
            } else {
                return Ok(left);
            };
            let right = self.product()?;
            left = self.binary(op, left, right)?;
        }
    }

    fn product(&mut self) -> Parsed {
        let mut left = self.factor()?;
        loop {
            let op = if self.eat("*") || self.eat("×") {
                Op::Multiply
            } else if self.eat("/") || self.eat("÷") {
                Op::Divide
            } else {
                return Ok(left);
            };
            let right = self.factor()?;
            left = self.binary(op, left, right)?;
        }
    }

    fn binary(&self, op: Op, left: Expr, right: Expr) -> Parsed {
        let (span, height) = (left.span.to(right.span), left.height.max(right.height));
        self.make(Node::Binary(op, Box::new(left), Box::new(right)), span, height)
    }

    fn factor(&mut self) -> Parsed {
        self.nesting += 1;
        if self.nesting > limits::FORMULA_DEPTH {
            let message = format!("a formula nests at most {} deep", limits::FORMULA_DEPTH);
            return Err(HoleError::new("limit", self.here(), message));
        }
        let found = self.bare_factor();
        self.nesting -= 1;
        found
    }

    fn bare_factor(&mut self) -> Parsed {
        let start = self.at;
        if self.eat("-") || self.eat("−") || self.eat("–") {
            let of = self.factor()?;
            let (span, height) = (Span::new(start, of.span.end as usize), of.height);
            return self.make(Node::Minus(Box::new(of)), span, height);
        }
        if self.eat("(") {
            let mut inner = self.sum()?;
            let end = self.close(start)?;
            inner.span = Span::new(start, end);
            return Ok(inner);
        }
        let Some(c) = self.rest().chars().next() else {
            let message = "the formula ends where a number or a name should come";
            return Err(HoleError::new("formula-syntax", Span::new(start, start), message));
        };
        if c.is_alphabetic() || c == '_' {
            return self.name();
        }
        self.number().unwrap_or_else(|| Err(self.unexpected(c)))
    }

    /// Takes a closing bracket and answers where it ends.
    fn close(&mut self, start: usize) -> Result<usize, HoleError> {
        let end = self.at + 1;
        if self.eat(")") {
            return Ok(end);
        }
        match self.rest().chars().next() {
            None => {
                let span = Span::new(start, start + 1);
                Err(HoleError::new("formula-syntax", span, "this bracket is not closed"))
            }
            Some(c) => Err(self.unexpected(c)),
        }
    }

    fn number(&mut self) -> Option<Parsed> {
        let found = scan(self.rest())?;
        let start = self.at;
        let span = Span::new(start, start + found.len);
        self.at += found.len;
        self.blanks();
        let node = match Measure::of(found.unit) {
            None if found.unit.is_empty() => Node::Number(found.value, found.whole),
            Some(Measure::Length(one)) => Node::Length(one * found.value),
            Some(Measure::Percent) => Node::Percent(found.value / 100.0),
            Some(Measure::Mass(_)) => {
                let message = "a mass has no place in a formula";
                return Some(Err(HoleError::new("formula-unit", span, message)));
            }
            None => {
                let unit = Span::new(start + found.unit_at, start + found.len);
                return Some(Err(unknown_unit(found.unit, unit)));
            }
        };
        Some(self.make(node, span, 0))
    }

    fn word(&mut self) -> &'a str {
        let rest = self.rest();
        let len = rest
            .char_indices()
            .find(|(_, c)| !(c.is_alphanumeric() || *c == '_'))
            .map_or(rest.len(), |(i, _)| i);
        self.at += len;
        rest.get(..len).unwrap_or("")
    }

    fn name(&mut self) -> Parsed {
        let start = self.at;
        let word = self.word();
        let mut end = self.at;
        if self.rest().starts_with('.') {
            self.at += 1;
            self.word();
            end = self.at;
        }
        let full = self.text.get(start..end).unwrap_or(word);
        self.blanks();
        let span = Span::new(start, end);
        if self.rest().starts_with('(') {
            return self.call(full, span);
        }
        self.make(Node::Name(full.to_owned()), span, 0)
    }

    fn call(&mut self, name: &str, span: Span) -> Parsed {
        if !FUNCTIONS.contains(&name) {
            let message = format!("there is no function `{name}`");
            let fault = HoleError::new("unknown-name", span, message);
            let known = FUNCTIONS.join(", ");
            return Err(match nearest(name, FUNCTIONS.iter().copied()) {
                Some(likely) => fault.help(format!("perhaps `{likely}`; there are {known}")),
                None => fault.help(format!("there are {known}")),
            });
        }
        let bracket = self.at;
        self.eat("(");
        let mut parts = Vec::new();
        let mut compare = None;
        loop {
            parts.push(self.sum()?);
            if name == "if" && parts.len() == 1 {
                compare = Some(self.compare()?);
            } else if !self.eat(",") {
                break;
            }
        }
        let end = self.close(bracket)?;
        let whole = Span::new(span.start as usize, end);
        let height = parts.iter().map(|p| p.height).max().unwrap_or(0);
        let count = parts.len();
        match shape(name, parts, compare) {
            Some(node) => self.make(node, whole, height),
            None => Err(wrong_parts(name, count, whole)),
        }
    }

    fn compare(&mut self) -> Result<Compare, HoleError> {
        let signs = [
            ("<=", Compare::LessOrEqual),
            (">=", Compare::MoreOrEqual),
            ("==", Compare::Equal),
            ("!=", Compare::Unequal),
            ("<", Compare::Less),
            (">", Compare::More),
        ];
        for (sign, compare) in signs {
            if self.eat(sign) {
                return Ok(compare);
            }
        }
        let message = "`if` begins with a comparison";
        Err(HoleError::new("formula-syntax", self.here(), message)
            .help("write `if(a < b, then, otherwise)`"))
    }
}

fn unknown_unit(unit: &str, span: Span) -> HoleError {
    let known = crate::quantity::LENGTH_UNITS.join(", ");
    let message = format!("unknown unit \"{unit}\"; known units are {known}");
    HoleError::new("bad-unit", span, message)
        .help(format!("if `{unit}` is a name, write `*` between the number and it"))
}

fn shape(name: &str, parts: Vec<Expr>, compare: Option<Compare>) -> Option<Node> {
    let way = match name {
        "nearest" => Some(Way::Nearest),
        "up" => Some(Way::Up),
        "down" => Some(Way::Down),
        _ => None,
    };
    if let Some(way) = way {
        let mut parts = parts.into_iter();
        let value = Box::new(parts.next()?);
        let (multiple, plus) = (parts.next().map(Box::new), parts.next().map(Box::new));
        return parts.next().is_none().then_some(Node::Round(way, value, multiple, plus));
    }
    match name {
        "min" if parts.len() >= 2 => Some(Node::Extreme(Ordering::Less, parts)),
        "max" if parts.len() >= 2 => Some(Node::Extreme(Ordering::Greater, parts)),
        "clamp" => Some(Node::Clamp(Box::new(parts.try_into().ok()?))),
        "if" => {
            let parts: [Expr; 4] = parts.try_into().ok()?;
            Some(Node::If(compare?, Box::new(parts)))
        }
        _ => None,
    }
}

fn wrong_parts(name: &str, count: usize, span: Span) -> HoleError {
    let right = match name {
        "min" | "max" => "two or more, such as `min(a, b)`",
        "clamp" => "three: `clamp(value, least, most)`",
        "if" => "a comparison and two more: `if(a < b, then, otherwise)`",
        _ => "one to three: value, multiple, remainder, such as `nearest(girth / body.st, 4, 1)`",
    };
    let message = format!("`{name}` has {count} parts in its brackets");
    HoleError::new("formula-syntax", span, message).help(format!("it takes {right}"))
}
