//! The worker: goes down the lines, keeps what carries over from one to the next.

use super::edge::Spot;
use super::fault::{Done, Fault, fault, fault_help};
use super::model::*;
use super::pass::Pass;
use super::{Edges, LineResult, WorkOptions, Worked};
use crate::diag::{Finding, Span};
use crate::limits;
use crate::written::tree::*;
use crate::written::{Counter, Numbers};
use std::collections::BTreeMap;

/// How much is known of the edge after a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    /// All of it.
    All,
    /// How many stitches it has, by the claim of a line that failed.
    Count,
    /// Nothing.
    Nothing,
}

/// Whether rounds are closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Closing {
    Unknown,
    Joined,
    Spiral,
}

/// A row or round that was worked, for references to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub shape: Shape,
    pub number: u32,
    pub line: usize,
    pub step: u32,
}

/// How the last round began and ended, for "work even".
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Frame {
    pub rise: u64,
    pub counted: bool,
    pub joined: bool,
}

/// Everything that carries over from line to line.
pub(super) struct Worker<'a> {
    pub piece: &'a Piece,
    pub size: &'a str,
    pub numbers: &'a dyn Numbers,
    pub options: &'a WorkOptions<'a>,
    pub fabric: Fabric,
    pub results: Vec<LineResult>,
    pub findings: Vec<Finding>,
    /// What the last course left, in the order it was made.
    pub top: Vec<Spot>,
    /// Whether the next row begins where the last one ended.
    pub fresh: bool,
    /// Places behind the last row's beginning and beyond its end (short rows).
    pub back: Vec<Spot>,
    pub beyond: Vec<Spot>,
    /// What an earflap's round still has free.
    pub reserve: Vec<Spot>,
    /// Whether a ring waits to be worked into.
    pub ring: bool,
    /// The foundation's chains, in the order made, and whether it is joined into a ring.
    pub foundation: Vec<Spot>,
    /// Those of them that were worked into.
    pub foundation_worked: Vec<Spot>,
    /// The rows of the flat piece, for their ends.
    pub rows: Vec<Spot>,
    pub closing: Closing,
    pub joined_last: bool,
    pub shape: Option<Shape>,
    /// The number of the last row or round.
    pub number: u32,
    /// Whether numbering may begin again.
    pub restart: bool,
    pub section_start: bool,
    pub book: Vec<Entry>,
    pub frame: Frame,
    pub conventions: BTreeMap<u64, Option<CountsAs>>,
    pub convention: Option<Option<CountsAs>>,
    pub count_chains: bool,
    pub colour: u8,
    pub groups: u32,
    pub group_specials: Vec<(u32, usize)>,
    pub known: Known,
    /// Chains made before a turn: they belong to the next row.
    pub carried: Option<(u32, u32, Option<ChainCounts>)>,
    pub counter: Option<Counter>,
    /// Whether a line is being worked by reference.
    pub referred: bool,
    pub work_left: u64,
    pub line: usize,
    pub over: bool,
    /// What each round worked into back loops left free: by round number.
    pub free: Vec<(u32, Loop, Vec<Spot>)>,
    pub turned: bool,
    pub seam_stitches: Option<u64>,
    pub row_ends_before: bool,
    /// Rows or rounds named beforehand, to be worked when their turn comes: shape, number, line,
    /// and whether every other one from there on is meant.
    pub due: Vec<(Shape, u32, usize, bool)>,
}

/// Works the piece.
pub(super) fn work(
    piece: &Piece,
    size: &str,
    numbers: &dyn Numbers,
    options: &WorkOptions,
) -> Worked {
    let mut w = Worker::new(piece, size, numbers, options);
    for i in 0..piece.lines.len() {
        if w.over {
            break;
        }
        w.line = i;
        w.line_at(i);
    }
    if let Some((line, message)) = w.never_due()
        && let Some(line) = piece.lines.get(line)
    {
        w.tell(&Fault { code: "numbering", span: Span::default(), message, help: None }, line);
    }
    w.finish()
}

impl<'a> Worker<'a> {
    fn new(
        piece: &'a Piece,
        size: &'a str,
        numbers: &'a dyn Numbers,
        options: &'a WorkOptions<'a>,
    ) -> Self {
        let mut w = Worker {
            piece,
            size,
            numbers,
            options,
            fabric: Fabric::default(),
            results: Vec::new(),
            findings: Vec::new(),
            top: Vec::new(),
            fresh: true,
            back: Vec::new(),
            beyond: Vec::new(),
            reserve: Vec::new(),
            ring: false,
            foundation: Vec::new(),
            foundation_worked: Vec::new(),
            rows: Vec::new(),
            closing: match piece.method {
                Some(Method::Joined) => Closing::Joined,
                Some(Method::Spiral) => Closing::Spiral,
                _ => Closing::Unknown,
            },
            joined_last: false,
            shape: None,
            number: 0,
            restart: true,
            section_start: true,
            book: Vec::new(),
            frame: Frame::default(),
            conventions: BTreeMap::new(),
            convention: None,
            count_chains: false,
            colour: 0,
            groups: 0,
            group_specials: Vec::new(),
            known: Known::All,
            carried: None,
            counter: None,
            referred: false,
            work_left: limits::STEPS,
            line: 0,
            over: false,
            free: Vec::new(),
            turned: false,
            seam_stitches: None,
            row_ends_before: false,
            due: Vec::new(),
        };
        w.fabric.specials = piece.specials.iter().map(|s| s.abbr.clone()).collect();
        w.fabric.colours.push(String::new());
        if let Some(before) = options.before {
            w.carry(&before.edges);
        }
        w
    }

    /// Takes over the edges of the piece worked before.
    fn carry(&mut self, edge: &Edges) {
        let old = |spots: &[Spot]| {
            spots.iter().map(|s| Spot { before: true, group: 0, ..*s }).collect::<Vec<_>>()
        };
        self.top = old(&edge.top);
        self.rows = old(&edge.rows);
        self.foundation_worked = old(&edge.foundation);
        self.row_ends_before = !self.rows.is_empty();
        self.joined_last = edge.joined;
        self.shape = edge.shape;
        self.number = edge.number;
        self.known = if edge.lost { Known::Nothing } else { Known::All };
    }

    fn finish(mut self) -> Worked {
        let mut totals = BTreeMap::new();
        let mut by_kind: BTreeMap<Kind, u64> = BTreeMap::new();
        let mut last: Option<(Kind, u64)> = None;
        for stitch in &self.fabric.stitches {
            if stitch.role == Role::Seam && stitch.kind != Kind::SL_ST {
                continue;
            }
            match &mut last {
                Some((kind, n)) if *kind == stitch.kind => *n += 1,
                _ => {
                    if let Some((kind, n)) = last {
                        *by_kind.entry(kind).or_default() += n;
                    }
                    last = Some((stitch.kind, 1));
                }
            }
        }
        if let Some((kind, n)) = last {
            *by_kind.entry(kind).or_default() += n;
        }
        for (kind, n) in by_kind {
            *totals.entry(kind.name(self.piece.terms, &self.fabric.specials)).or_default() += n;
        }
        let edges = Edges {
            top: std::mem::take(&mut self.top),
            rows: std::mem::take(&mut self.rows),
            foundation: std::mem::take(&mut self.foundation_worked),
            joined: self.joined_last,
            shape: self.shape,
            number: self.number,
            lost: self.known == Known::Nothing,
        };
        Worked { fabric: self.fabric, lines: self.results, totals, findings: self.findings, edges }
    }

    fn line_at(&mut self, i: usize) {
        let piece = self.piece;
        let Some(line) = piece.lines.get(i) else { return };
        if line.sizes.as_ref().is_some_and(|s| !s.iter().any(|s| s == self.size)) {
            return;
        }
        match &line.kind {
            LineKind::Heading(_) => {
                self.restart = true;
                self.section_start = true;
            }
            LineKind::Note(note) => self.note(note),
            LineKind::Special(_) | LineKind::SizesOnly(_) | LineKind::AllSizes => {}
            LineKind::Work(work) => {
                if let Err(f) = self.work_line(i, line, work) {
                    self.fail(&f, line, work);
                }
            }
            LineKind::Unread(work) => {
                // Its fault is told by the reader; numbering and the claim are kept.
                self.keep_numbering(work);
                self.restart = work.label.is_none();
                self.recover(work);
            }
        }
    }

    fn note(&mut self, note: &Note) {
        for says in &note.says {
            match says {
                Convention::BeginningChain { chains, counts_as } => {
                    let counts = counts_as.map(|kind| CountsAs { kind: Some(kind), chains: None });
                    match chains {
                        Some(n) => {
                            self.conventions.insert(*n, counts);
                        }
                        None => self.convention = Some(counts),
                    }
                }
                Convention::Method(Method::Spiral) => self.closing = Closing::Spiral,
                Convention::Method(Method::Joined) => self.closing = Closing::Joined,
                Convention::Method(Method::Rows) => {}
                Convention::CountChains => self.count_chains = true,
            }
        }
    }

    /// Puts a fault down, and trusts the line's claim for what follows.
    fn fail(&mut self, f: &Fault, line: &Line, work: &Work) {
        if self.known == Known::All
            || f.code == "limit"
            || (self.known == Known::Count && f.code != "wrong-place")
            || SURE.contains(&f.code)
        {
            self.tell(f, line);
        }
        if f.code == "limit" {
            self.over = true;
        }
        self.keep_numbering(work);
        self.recover(work);
    }

    /// A line that failed is counted all the same, so that the next one follows it.
    fn keep_numbering(&mut self, work: &Work) {
        let Some(label) = &work.label else { return };
        self.counter = None;
        if self.shape.is_some_and(|s| s != label.shape)
            && matches!(label.which, Which::Next(_) | Which::Named(_))
        {
            self.number = 0;
        }
        let Ok(numbers) = self.label_numbers(label, &[]) else { return };
        for n in &numbers {
            if !self
                .book
                .iter()
                .rev()
                .any(|e| e.shape == label.shape && e.number == *n && e.line == self.line)
            {
                self.book.push(Entry { shape: label.shape, number: *n, line: self.line, step: 1 });
            }
        }
        let named = matches!(label.which, Which::Next(_) | Which::Named(_));
        if let Some(n) = numbers.last()
            && !named
        {
            self.number = *n;
        }
        self.shape = Some(label.shape);
        self.restart = false;
    }

    /// Puts a fault down.
    pub fn tell(&mut self, f: &Fault, line: &Line) {
        if self.findings.len() >= limits::FINDINGS {
            return;
        }
        let span = if f.span == Span::default() { line.at.0 } else { f.span };
        let mut finding =
            Finding::fault(f.code, f.message.clone()).at(self.options.origin.place(span), "here");
        if let Some(help) = &f.help {
            finding = finding.help(help.clone());
        }
        if !self.size.is_empty() {
            finding = finding.sizes([self.size]);
        }
        self.findings.push(finding);
    }

    fn recover(&mut self, work: &Work) {
        let mut claimed = None;
        for item in work.claims.iter().flat_map(|c| &c.items) {
            if matches!(item.unit, Unit::Stitches | Unit::Kind(_))
                && let Ok(n) = self.value(&item.count, item.at)
            {
                claimed = Some(claimed.unwrap_or(0) + n);
            }
        }
        self.carried = None;
        self.back.clear();
        self.beyond.clear();
        self.ring = false;
        self.fresh = true;
        if work.steps.iter().any(|s| matches!(s.act, Act::Join(_))) {
            self.joined_last = true;
        }
        match claimed.filter(|n| *n <= limits::STITCHES) {
            Some(n) => {
                self.top = vec![Spot::wild(); n as usize];
                self.known = Known::Count;
            }
            None => self.known = Known::Nothing,
        }
    }

    /// The value of a number in this size.
    pub fn value(&self, number: &Number, at: At) -> Done<u64> {
        let n = match number {
            Number::Plain(n) => *n,
            Number::Hole(hole) => match self.numbers.value(hole, self.counter) {
                Ok(n) => match u64::try_from(n) {
                    Ok(n) => n,
                    Err(_) => {
                        return fault(
                            "graded-number",
                            hole.at.0,
                            format!(
                                "{{{}}} is {n} here, and a count cannot be less than nothing",
                                hole.text
                            ),
                        );
                    }
                },
                Err(why) => return fault("graded-number", hole.at.0, why),
            },
        };
        if n > limits::NUMBER {
            return fault_help(
                "limit",
                at.0,
                format!("{n} is more than this program works ({} at most)", limits::NUMBER),
                "is there a slip in the number?",
            );
        }
        Ok(n)
    }

    /// The numbers a label stands for in this size. May be empty: a range that ends just
    /// before it begins is not worked in this size.
    pub fn label_numbers(&self, label: &Label, _: &[Step]) -> Done<Vec<u32>> {
        let at = label.at;
        let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
        Ok(match &label.which {
            Which::One(n) => vec![small(self.value(n, at)?)],
            Which::Range(a, b) => {
                let (first, last) = (small(self.value(a, at)?), small(self.value(b, at)?));
                if last.saturating_sub(first) > limits::ROUNDS {
                    return fault(
                        "limit",
                        at.0,
                        format!("more than {} rows or rounds in one line", limits::ROUNDS),
                    );
                }
                let graded = matches!(a, Number::Hole(_)) || matches!(b, Number::Hole(_));
                if first > last && !(graded && first == last + 1) {
                    return fault_help(
                        "numbering",
                        at.0,
                        format!("the range runs from {first} down to {last}"),
                        "write the smaller number first",
                    );
                }
                (first..=last).collect()
            }
            Which::List(list) => {
                let mut out = Vec::new();
                for n in list {
                    out.push(small(self.value(n, at)?));
                }
                out
            }
            Which::Next(n) => {
                let n = small(self.value(n, at)?).min(limits::ROUNDS);
                (1..=n).map(|i| self.number.saturating_add(i)).collect()
            }
            Which::EveryOther(n) => vec![small(self.value(n, at)?)],
            Which::Named(_) => vec![self.number.saturating_add(1)],
        })
    }

    fn work_line(&mut self, i: usize, line: &Line, work: &Work) -> Done {
        self.seam_stitches = None;
        let first_course = self.fabric.courses.len();
        let again = work.steps.iter().find_map(|s| match &s.act {
            Act::Again(a) => Some((a, s.at)),
            _ => None,
        });
        let even = work.steps.iter().find_map(|s| match &s.act {
            Act::Even(e) => Some((e, s.at)),
            _ => None,
        });
        let numbers = match &work.label {
            Some(label) => {
                let mut numbers = self.label_numbers(label, &work.steps)?;
                if matches!(
                    label.which,
                    Which::EveryOther(_) | Which::One(_) | Which::Range(..) | Which::List(_)
                ) && let Some(first) = numbers.first()
                {
                    self.work_due(label.shape, Some(*first))?;
                }
                self.check_numbering(label, &numbers, line)?;
                self.set_due(label, &mut numbers, i);
                Some((label.shape, numbers))
            }
            None => None,
        };
        if let Some((again, at)) = again {
            self.again(again, at, numbers, work)?;
        } else if let Some((even, at)) = even
            && (even.count.is_some() || even.until.is_some())
        {
            self.even_line(i, even, at, numbers, work)?;
        } else {
            match numbers {
                Some((shape, numbers)) => {
                    for (k, number) in numbers.iter().enumerate() {
                        let step = k as u32 + 1;
                        self.counter = Some(Counter { round: *number, step });
                        self.course(i, &work.steps, Some(shape), Some(*number), work.side)?;
                        self.book.push(Entry { shape, number: *number, line: i, step });
                        if self.fabric.courses.len() > limits::ROUNDS as usize {
                            return fault(
                                "limit",
                                line.at.0,
                                format!("more than {} rows and rounds", limits::ROUNDS),
                            );
                        }
                    }
                }
                None => {
                    self.counter = None;
                    self.course(i, &work.steps, None, None, work.side)?;
                }
            }
        }
        self.conclude(i, line, work, first_course)?;
        match &work.label {
            Some(label) if !self.due.is_empty() => self.work_due(label.shape, None),
            _ => Ok(()),
        }
    }

    /// Puts aside what a label names beyond the next rows or rounds: "Rows 4, 6 and 8".
    fn set_due(&mut self, label: &Label, numbers: &mut Vec<u32>, line: usize) {
        if let (Which::EveryOther(_), Some(n)) = (&label.which, numbers.first()) {
            self.due.push((label.shape, *n, line, true));
        }
        if !matches!(label.which, Which::List(_)) {
            return;
        }
        let together =
            1 + numbers.windows(2).take_while(|p| p[1] == p[0].saturating_add(1)).count();
        if together < numbers.len() {
            for n in numbers.split_off(together) {
                self.due.push((label.shape, n, line, false));
            }
        }
    }

    /// The result and the claims of a line whose courses are worked.
    fn conclude(&mut self, i: usize, line: &Line, work: &Work, first_course: usize) -> Done {
        let made: Vec<usize> = (first_course..self.fabric.courses.len())
            .filter(|c| {
                self.fabric.courses.get(*c).is_some_and(|c| c.shape != CourseShape::Foundation)
            })
            .collect();
        if let Some(last) = made.last().copied().filter(|_| self.known != Known::Nothing) {
            let label =
                work.label.as_ref().map_or_else(String::new, |l| self.label_words(l, first_course));
            let (count, counts) = self.counts_of(last);
            self.results.push(LineResult {
                index: i as u32,
                line: line.number,
                label,
                count,
                counts,
                courses: first_course as u32..self.fabric.courses.len() as u32,
            });
        }
        let claims = self.check_claims(work, made.last().copied(), first_course);
        if !made.is_empty() {
            let stated =
                work.claims.iter().flat_map(|c| &c.items).any(|i| i.unit == Unit::Stitches);
            if claims.is_ok()
                && stated
                && self.known != Known::All
                && self.top.iter().all(|s| s.what != super::edge::What::Wild)
            {
                self.known = Known::All;
            }
        }
        claims
    }

    fn label_words(&self, label: &Label, first_course: usize) -> String {
        let courses = self.fabric.courses.get(first_course..).unwrap_or(&[]);
        let numbers: Vec<u32> = courses.iter().filter_map(|c| c.number).collect();
        let (one, many) = match label.shape {
            Shape::Row => ("Row", "Rows"),
            Shape::Round => ("Rnd", "Rnds"),
        };
        match (&label.which, numbers.first(), numbers.last()) {
            (Which::Named(name), ..) => format!("{name} {}", one.to_lowercase()),
            (_, Some(a), Some(b)) if a == b => format!("{one} {a}"),
            (_, Some(a), Some(b)) => format!("{many} {a}-{b}"),
            _ => one.to_owned(),
        }
    }

    fn check_numbering(&mut self, label: &Label, numbers: &[u32], line: &Line) -> Done {
        let Some(&first) = numbers.first() else { return Ok(()) };
        if matches!(label.which, Which::Next(_) | Which::Named(_)) {
            if self.shape.is_some_and(|s| s != label.shape) && self.restart_allowed(label.shape) {
                // A named round after rows counts by itself.
            }
            return Ok(());
        }
        let changed = self.shape.is_some_and(|s| s != label.shape);
        let follows = first == self.number.saturating_add(1);
        let begins = first == 1 && (self.restart || changed || self.number == 0);
        let zero = first == 0 && self.number == 0;
        let word = match label.shape {
            Shape::Row => "Row",
            Shape::Round => "Rnd",
        };
        for pair in numbers.windows(2) {
            if let [a, b] = pair
                && *b <= *a
            {
                return fault(
                    "numbering",
                    label.at.0,
                    format!("{word} {b} follows {word} {a} in one label"),
                );
            }
        }
        let ok = follows || begins || zero;
        if begins || zero {
            self.section_start = true;
            if self.restart || changed {
                self.number = first.saturating_sub(1);
            }
        }
        if !ok {
            let gap = if self.number == 0 {
                format!("the first {} is numbered {first}", word.to_lowercase())
            } else {
                format!("{word} {first} follows {word} {}", self.number)
            };
            let f = Fault {
                code: "numbering",
                span: label.at.0,
                message: gap,
                help: Some(format!(
                    "this should be {word} {}, or a line is missing",
                    self.number.saturating_add(1)
                )),
            };
            // Told at once and worked all the same: the stitches may well be right.
            self.tell(&f, line);
        }
        Ok(())
    }

    fn restart_allowed(&self, _: Shape) -> bool {
        self.restart
    }

    /// Works one row or round, or one unnumbered line.
    pub fn course(
        &mut self,
        line: usize,
        steps: &[Step],
        shape: Option<Shape>,
        number: Option<u32>,
        side: Option<Side>,
    ) -> Done {
        let pass = Pass::begin(self, line, steps, shape, number)?;
        pass.work(self, steps, side)
    }

    /// Takes a little of the work one piece may cost, so that nothing runs for ever.
    pub fn spend(&mut self, span: Span) -> Done {
        match self.work_left.checked_sub(1) {
            Some(left) => {
                self.work_left = left;
                Ok(())
            }
            None => {
                fault("limit", span, "this piece asks for more steps than the program will take")
            }
        }
    }
}

/// Codes that hold whatever the state of the edge.
const SURE: [&str; 4] = ["bad-reference", "range-mismatch", "numbering", "graded-number"];
