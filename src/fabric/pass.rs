//! One row or round, or one unnumbered line, worked from its first step to its end.

use super::closing::Ending;
use super::earlier::Away;
use super::edge::Spot;
use super::fault::{Done, fault_help};
use super::model::*;
use super::recover::Known;
use super::site::{Asks, On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::limits;
use crate::written::tree::*;

/// The state of one row or round while it is worked.
#[derive(Default)]
pub(super) struct Pass {
    pub line: usize,
    pub shape: Option<Shape>,
    pub number: Option<u32>,
    /// The words of the step being worked.
    pub span: Span,

    // The row below, and the hand on it.
    /// Its places, in working order, and where the hand is.
    pub list: Vec<Spot>,
    pub on: On,
    pub pos: usize,
    pub ground: Ground,
    /// How many chains of the run at `pos` are used up.
    pub inner: u32,
    /// Up to here places may be passed over: the rest of a group whose centre was worked.
    pub passable: usize,
    /// The rest of the group just worked is passed over by the next stitch.
    pub jump: bool,
    /// Beyond the row below: what an earlier row left.
    pub beyond: Vec<Spot>,
    pub used_beyond: usize,
    /// The place worked into last, and where in the list.
    pub last: Option<(Site, usize)>,
    pub first_used: Option<usize>,
    pub started_at: usize,
    pub skipped: Vec<Spot>,
    /// What the steps ask for, and whether they went along all of it.
    pub asks: Asks,
    pub swept: bool,
    pub along_side: bool,
    /// Where it is in rounds below that one.
    pub away: Away,
    /// Whether a space between two stitches was worked into.
    pub gaps: bool,
    /// Whether the work was turned before this line.
    pub turned_before: bool,
    /// Slip stitches went over this many places before the round began; they lie behind all
    /// others now, the round going on to where it began.
    pub wrapped: usize,
    /// The last of those is where the hand stands, and nothing is worked there yet.
    pub stands: bool,

    // What is made.
    /// Its places for the next row, so far.
    pub made: Vec<Spot>,
    /// Its first stitch in the fabric.
    pub from: u32,
    pub count: u32,
    pub spaces: u32,
    /// Whether anything but chains and travelling slip stitches was made.
    pub worked: bool,
    /// Whether the line makes a foundation chain and nothing else.
    pub foundation: bool,
    /// Whether the line is of slip stitches alone, which then are its fabric.
    pub slips_count: bool,
    /// A run of chains not yet closed by a stitch.
    pub chains: Option<(u32, u32)>,
    pub loops: Loop,
    pub group: u32,
    /// The place of the group being worked.
    pub site: Option<Site>,
    /// The beginning chain: how many, and whether it counts.
    pub rise: Option<(u64, bool)>,
    /// Chains at the beginning of a row, still free to be worked into.
    pub pending_extension: Option<(u32, u32)>,
    /// The beginning chain that the line's join names: how many, and which of them.
    pub join_chain: Option<(Option<u64>, Option<u64>)>,
    pub rejoined: bool,
    /// Loops left free under stitches worked in the other loop only.
    pub front_loops: Vec<Spot>,
    pub back_loops: Vec<Spot>,

    // Where among the steps.
    /// How deep repeats stand in each other.
    pub depth: u32,
    /// How deep brackets and special stitches stand in each other.
    pub nesting: usize,
    /// Places needed by the steps behind the one being worked.
    pub tail: Option<u64>,
    /// "Each" goes only up to here, where the next step names a chain space.
    pub stop_at: Option<usize>,
    /// The steps behind a repeat only say how it ends.
    pub end_said: bool,
    pub end: Ending,
}

impl Pass {
    /// Lays out the places this line may be worked into.
    pub fn begin(
        w: &mut Worker,
        line: usize,
        steps: &[Step],
        shape: Option<Shape>,
        number: Option<u32>,
    ) -> Pass {
        let mut p = Pass {
            line,
            shape,
            number,
            from: w.fabric.stitches.len() as u32,
            slips_count: only_slips(steps) || claims_slips(w.piece, line),
            ..Pass::default()
        };
        let works = steps.iter().any(|s| {
            matches!(s.act, Act::Work(_) | Act::Repeat(_) | Act::Even(_) | Act::Rejoin(_))
        });
        let chains = steps.iter().any(|s| matches!(s.act, Act::Chain(_)));
        let seams = steps.iter().any(|s| matches!(s.act, Act::Seam(_)));
        p.foundation = chains
            && !works
            && !seams
            && shape.is_none()
            && !steps.iter().any(|s| matches!(s.act, Act::Turn) && !w.top.is_empty());
        for step in steps {
            if let Act::Join(Join {
                into: Some(JoinPlace::BeginningChain { chains, nth }), ..
            }) = &step.act
            {
                let number = |n: &Option<Number>| match n {
                    Some(n) => w.value(n, step.at).ok(),
                    None => None,
                };
                p.join_chain = Some((number(chains), number(nth)));
            }
        }
        if !p.foundation {
            p.lay_out(w, steps);
        }
        p
    }

    /// Works all steps and closes the course.
    pub fn work(mut self, w: &mut Worker, steps: &[Step]) -> Done {
        if let Some((first, n, counts)) = w.carried.take()
            && !self.foundation
        {
            self.rise_made(w, first, n, counts.as_ref(), Span::default())?;
        }
        w.turned = false;
        let outcome = self.steps(w, steps).and_then(|()| self.close(w, steps));
        if outcome.is_err() {
            // What was made stands; what it leaves is settled by the line's claim.
            self.settle_chains();
            self.record(w);
        }
        outcome
    }

    /// Works steps in order.
    pub fn steps(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        if self.nesting > limits::DEPTH {
            return fault_help(
                "limit",
                self.span,
                format!("stitches and brackets stand in each other deeper than {}", limits::DEPTH),
                "are special stitches defined by each other without end?",
            );
        }
        self.nesting += 1;
        let done = self.each_step(w, steps);
        self.nesting -= 1;
        done
    }

    fn each_step(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        for (i, step) in steps.iter().enumerate() {
            w.spend(step.at.0)?;
            if self.end_said && matches!(step.act, Act::Work(_) | Act::Skip(_)) {
                continue;
            }
            if let Act::Work(working) = &step.act
                && self.quick(w, working)
            {
                continue;
            }
            let outer = self.span;
            self.span = step.at.0;
            let rest = steps.get(i + 1..).unwrap_or(&[]);
            self.begin_off_the_seam(w, step);
            self.tail = self.need_behind(w, step, rest);
            self.stop_at = self.next_space_named(w, step, rest);
            self.step(w, step, rest)?;
            self.stop_at = None;
            self.span = outer;
        }
        self.end_said = false;
        Ok(())
    }

    /// "sc in each sc, 6 sc in ch-6 sp": each, up to the space that is named next.
    fn next_space_named(&self, w: &Worker, step: &Step, rest: &[Step]) -> Option<usize> {
        let each = |t: &Target| {
            matches!(t.reach, Reach::Each(Extent::End))
                && matches!(t.place, PlaceKind::Stitch | PlaceKind::Named(_))
        };
        let Act::Work(working) = &step.act else { return None };
        if self.depth > 0 || !working.targets.iter().any(each) {
            return None;
        }
        let next = rest.iter().find_map(|s| match &s.act {
            Act::Work(working) => Some(working.targets.first()),
            Act::Skip(_) | Act::Repeat(_) | Act::Along(_) => Some(None),
            _ => None,
        })??;
        let single =
            matches!(next.reach, Reach::Next(_)) && matches!(next.place, PlaceKind::ChainSpace(_));
        let ahead = self.list.get(self.pos..)?.iter().position(|s| self.fits(w, *s, &next.place));
        ahead.filter(|_| single).map(|i| self.pos + i)
    }

    fn step(&mut self, w: &mut Worker, step: &Step, rest: &[Step]) -> Done {
        match &step.act {
            Act::Chain(chain) => self.chain(w, chain, step.at, rest),
            Act::Work(working) => self.working(w, working, step.at),
            Act::Skip(target) => self.skip(w, target),
            Act::Turn => {
                self.turn(w, rest);
                Ok(())
            }
            Act::NoTurn | Act::Remark(_) => Ok(()),
            Act::Ring => {
                self.on = On::Ring;
                self.ground = Ground::Ring;
                self.list.clear();
                self.pos = 0;
                w.ring = true;
                w.known = Known::All;
                self.end.ring_made = true;
                if self.shape.is_none() && rest.is_empty() {
                    w.top.clear();
                    w.foundation.clear();
                }
                Ok(())
            }
            Act::Join(join) => self.join(w, join, step.at),
            Act::NoJoin => {
                self.end.no_join = true;
                Ok(())
            }
            Act::Repeat(repeat) => self.repeat(w, repeat, step.at, rest),
            Act::Rejoin(rejoin) => self.rejoin(w, rejoin, step.at),
            Act::Leave(leave) => self.leave(w, leave, step.at),
            Act::Colour(colour) => {
                if let Some(name) = &colour.to {
                    w.take_colour(name, step.at.0)?;
                }
                Ok(())
            }
            Act::Again(_) => Ok(()),
            Act::Even(even) => self.even(w, even, step.at, rest),
            Act::Seam(seam) => self.seam(w, seam, step.at),
            Act::Along(edge) => self.along(w, edge, step.at),
            Act::LineLoop(loops) => {
                self.loops = *loops;
                Ok(())
            }
            Act::FastenOff => {
                w.fabric.fasten_offs += 1;
                self.end.closed_off = true;
                Ok(())
            }
            Act::Gather(_) => {
                self.end.gathered = true;
                if !self.worked
                    && let Some(course) = w.fabric.courses.last_mut()
                {
                    course.gathered = true;
                }
                Ok(())
            }
        }
    }

    fn turn(&mut self, w: &mut Worker, rest: &[Step]) {
        if self.worked || self.rise.is_some() && self.count > 0 {
            self.end.turned_after = true;
            // "ch 1, turn" at the end: the chain belongs to the next row.
            if let Some((first, n)) = self.chains
                && !rest.iter().any(|s| matches!(s.act, Act::Work(_) | Act::Repeat(_)))
            {
                self.chains = None;
                for i in first..first + n {
                    if let Some(stitch) = w.fabric.stitches.get_mut(i as usize) {
                        stitch.role = Role::Rise;
                    }
                }
                w.carried = Some((first, n, None));
            }
        } else if !self.foundation && self.rise.is_none() {
            self.turned_before = true;
        }
    }

    /// Ends the run of chains being made: it leaves a space.
    pub fn settle_chains(&mut self) {
        if let Some((first, n)) = self.chains.take() {
            self.leave_space(first, n, self.group);
        }
    }

    /// A space of `n` chains from the stitch `first` on. No chains ("ch 0") leave none.
    pub fn leave_space(&mut self, first: u32, n: u32, group: u32) {
        if n > 0 {
            self.spaces += 1;
            self.made.push(Spot::space(first, n, group));
        }
    }
}

/// Whether the line counts its slip stitches: "(6 sc, 5 sl sts)".
fn claims_slips(piece: &Piece, line: usize) -> bool {
    let Some(LineKind::Work(work)) = piece.lines.get(line).map(|l| &l.kind) else { return false };
    let items = work.claims.iter().flat_map(|c| &c.items);
    let several = |n: &Number| !matches!(n, Number::Plain(0 | 1));
    items.into_iter().any(|i| i.unit == Unit::Kind(Kind::SL_ST) && several(&i.count))
}

/// Whether the line makes nothing but slip stitches, which then are its fabric.
fn only_slips(steps: &[Step]) -> bool {
    fn look(steps: &[Step], slips: &mut bool, others: &mut bool, each: &mut bool) {
        for step in steps {
            match &step.act {
                Act::Work(Working { made, targets, .. }) => match made {
                    Made::Stitch { kind, .. } if *kind == Kind::SL_ST => {
                        *slips = true;
                        *each |= targets.iter().any(|t| matches!(t.reach, Reach::Each(_)));
                    }
                    Made::Group(inner) => look(inner, slips, others, each),
                    _ => *others = true,
                },
                Act::Repeat(r) => {
                    let mut inner = false;
                    look(&r.steps, &mut inner, others, each);
                    *slips |= inner;
                    *each |= inner;
                }
                _ => {}
            }
        }
    }
    let (mut slips, mut others, mut each) = (false, false, false);
    look(steps, &mut slips, &mut others, &mut each);
    slips && !others && each
}
