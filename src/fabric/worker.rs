//! The worker: goes down the lines, keeps what carries over from one to the next.

use super::closing::Closing;
use super::doubt::Doubt;
use super::due::Due;
use super::earlier::{self, Left};
use super::edge::Spot;
use super::fault::{Done, Fault, fault, fault_help};
use super::handover::Frame;
use super::model::*;
use super::numbering::Entry;
use super::pass::Pass;
use super::recover::Known;
use super::{Edges, LineResult, WorkOptions, Worked};
use crate::diag::{Finding, Span};
use crate::limits;
use crate::written::tree::*;
use crate::written::{Counter, Numbers};
use std::cell::Cell;
use std::collections::BTreeMap;

/// Everything that carries over from line to line.
#[derive(Clone)]
pub(super) struct Worker<'a> {
    pub piece: &'a Piece,
    pub size: &'a str,
    pub numbers: &'a dyn Numbers,
    pub options: &'a WorkOptions<'a>,

    // What comes out.
    pub fabric: Fabric,
    pub results: Vec<LineResult>,
    pub findings: Vec<Finding>,

    // Where among the lines.
    /// The line being worked.
    pub line: usize,
    /// A limit is passed: no further line is worked.
    pub over: bool,
    /// What the piece has cost: steps worked, and places looked at to find the right ones.
    pub spent: u64,
    pub looked: Cell<u64>,
    /// Whether a line is being worked by reference.
    pub referred: bool,
    pub counter: Option<Counter>,
    pub shape: Option<Shape>,
    /// The number of the last row or round.
    pub number: u32,
    /// Whether numbering may begin again.
    pub restart: bool,
    pub section_start: bool,
    pub book: Vec<Entry>,
    pub due: Vec<Due>,

    /// An unnumbered line could not be worked: how many rows it makes is not known.
    pub miscounted: bool,
    /// A line of rows could not be worked: their ends, and what they left, are not known.
    pub rows_lost: bool,
    /// The last number of lines that are for other sizes.
    pub passed: u32,
    /// How often a count was in doubt.
    pub doubts: u32,
    /// The count of the line being worked is not as claimed; its stitches stand.
    pub claim_failed: bool,

    // The edge worked last.
    pub known: Known,
    /// What the last course left, in the order it was made.
    pub top: Vec<Spot>,
    /// Whether the next row begins where the last one ended.
    pub fresh: bool,
    pub turned: bool,
    /// Places behind the last row's beginning and beyond its end (short rows).
    pub back: Vec<Spot>,
    pub beyond: Vec<Spot>,
    /// What an earflap's round still has free.
    pub reserve: Vec<Spot>,
    pub closing: Closing,
    pub joined_last: bool,
    pub frame: Frame,
    /// Chains made before a turn: they belong to the next row.
    pub carried: Option<(u32, u32, Option<ChainCounts>)>,

    // Other edges.
    /// Whether a ring waits to be worked into.
    pub ring: bool,
    /// The foundation's chains, in the order made.
    pub foundation: Vec<Spot>,
    /// Those of them that were worked into.
    pub foundation_worked: Vec<Spot>,
    /// The rows of the flat piece, for their ends.
    pub rows: Vec<Spot>,
    /// Those rows are of the piece worked before.
    pub row_ends_before: bool,
    /// What each round worked into one loop only left free: by round number.
    pub free: Vec<(u32, Loop, Vec<Spot>)>,
    /// What each row or round left, kept where the piece names some by number.
    pub earlier: Vec<Left>,
    pub keeps: bool,
    pub seam_stitches: Option<u64>,

    // What holds for the stitches made next.
    pub conventions: Conventions,
    pub colour: u8,
    pub groups: u32,
    pub group_specials: Vec<(u32, usize)>,
}

/// What the piece says once for all its lines.
#[derive(Clone, Debug, Default)]
pub(super) struct Conventions {
    /// What a beginning chain of so many counts as.
    pub by_height: BTreeMap<u64, Option<CountsAs>>,
    /// What every beginning chain counts as.
    pub any_height: Option<Option<CountsAs>>,
    /// Chains between stitches count.
    pub count_chains: bool,
}

/// Works the piece.
pub(super) fn work(
    piece: &Piece,
    size: &str,
    numbers: &dyn Numbers,
    options: &WorkOptions,
) -> Worked {
    let mut w = Worker::new(piece, size, numbers, options);
    let mut doubt = None;
    for i in 0..piece.lines.len() {
        if w.over {
            break;
        }
        let told = w.findings.len();
        w.line = i;
        w.line_at(i);
        doubt = Doubt::weigh(doubt, &mut w, i, told);
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
            closing: Closing::of(piece),
            joined_last: false,
            shape: None,
            number: 0,
            restart: true,
            section_start: true,
            book: Vec::new(),
            frame: Frame::default(),
            conventions: Conventions::default(),
            colour: 0,
            groups: 0,
            group_specials: Vec::new(),
            known: Known::All,
            miscounted: false,
            rows_lost: false,
            claim_failed: false,
            doubts: 0,
            passed: 0,
            carried: None,
            counter: None,
            referred: false,
            spent: 0,
            looked: Cell::new(0),
            line: 0,
            over: false,
            free: Vec::new(),
            turned: false,
            earlier: Vec::new(),
            keeps: earlier::names_rounds(piece),
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

    pub fn line_at(&mut self, i: usize) {
        let piece = self.piece;
        let Some(line) = piece.lines.get(i) else { return };
        if line.sizes.as_ref().is_some_and(|s| !s.iter().any(|s| s == self.size)) {
            if self.options.runs_on {
                self.pass_over(line);
            }
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
                self.claim_failed = false;
                if let Err(f) = self.work_line(i, line, work) {
                    self.fail(&f, line, work);
                }
            }
            // It makes up what is worked, and no more.
            LineKind::Unread(Work { label: None, steps, .. })
                if matches!(steps.as_slice(), [Step { act: Act::Remark(_), .. }]) => {}
            LineKind::Unread(work) => {
                // Its fault is told by the reader; numbering and the claim are kept.
                self.keep_numbering(work);
                self.restart = work.label.is_none();
                self.recover(line, work);
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
                            self.conventions.by_height.insert(*n, counts);
                        }
                        None => self.conventions.any_height = Some(counts),
                    }
                }
                Convention::Method(Method::Spiral) => self.closing = Closing::Spiral,
                Convention::Method(Method::Joined) => self.closing = Closing::Joined,
                Convention::Method(Method::Rows) => {}
                Convention::CountChains => self.conventions.count_chains = true,
            }
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
                let mut numbers = self.label_numbers(label)?;
                if matches!(
                    label.which,
                    Which::EveryOther(_)
                        | Which::Onward(_)
                        | Which::One(_)
                        | Which::Range(..)
                        | Which::List(_)
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
        let worked = numbers.as_ref().is_some_and(|(_, numbers)| !numbers.is_empty());
        if let Some((again, at)) = again {
            self.again(again, at, numbers, work)?;
        } else if let Some((even, at)) = even
            && matches!(even.shaping, Some(Shaping { at: ShapedAt::Ends { .. }, .. }))
            && numbers.as_ref().is_none_or(|(_, n)| n.len() == 1 || !even.each_row())
        {
            self.shaped_line(i, even, at, numbers, work)?;
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
                        self.course(i, &work.steps, Some(shape), Some(*number))?;
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
                    self.course(i, &work.steps, None, None)?;
                }
            }
        }
        self.conclude(i, line, work, first_course)?;
        if worked && self.fabric.courses.len() == first_course {
            if self.known == Known::Nothing {
                // Nothing was there to work it on; it is a row or round all the same.
                self.keep_numbering(work);
                self.recover(line, work);
            } else {
                self.nothing_made(work)?;
            }
        }
        match &work.label {
            Some(label) if !self.due.is_empty() => self.work_due(label.shape, None),
            _ => Ok(()),
        }
    }

    /// Works one row or round, or one unnumbered line.
    pub fn course(
        &mut self,
        line: usize,
        steps: &[Step],
        shape: Option<Shape>,
        number: Option<u32>,
    ) -> Done {
        // The places of the edge are laid out anew for each line.
        self.spend_on(self.top.len(), Span::default())?;
        Pass::begin(self, line, steps, shape, number).work(self, steps)
    }

    /// Goes on in this colour.
    pub fn take_colour(&mut self, name: &str, span: Span) -> Done {
        // "Main" at the head of a sentence is the colour that is "main" within one.
        let found = self.fabric.colours.iter().position(|c| c.eq_ignore_ascii_case(name));
        let at = found.unwrap_or(self.fabric.colours.len());
        // The first of the list is the colour that is never named.
        self.colour = match u8::try_from(at) {
            Ok(colour) if at <= limits::COLOURS => colour,
            _ => {
                let most = limits::COLOURS;
                return fault("limit", span, format!("a piece in more than {most} colours"));
            }
        };
        if found.is_none() {
            self.fabric.colours.push(name.to_owned());
        }
        Ok(())
    }

    /// Takes a step off the work one piece may cost, so that nothing runs for ever.
    pub fn spend(&mut self, span: Span) -> Done {
        self.spend_on(1, span)
    }

    /// The same for laying out or looking through so many places.
    pub fn spend_on(&mut self, places: usize, span: Span) -> Done {
        self.spent = self.spent.saturating_add(places as u64);
        if self.cost() > limits::STEPS {
            return fault(
                "limit",
                span,
                "this piece asks for more steps than the program will take",
            );
        }
        Ok(())
    }

    /// Counts places that are looked at; the next step pays for them.
    pub fn look(&self, places: usize) {
        self.looked.set(self.looked.get().saturating_add(places as u64));
    }

    /// What the piece has cost so far.
    pub fn cost(&self) -> u64 {
        self.spent.saturating_add(self.looked.get())
    }
}
