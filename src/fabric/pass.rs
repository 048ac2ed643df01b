//! One row or round, or one unnumbered line, worked from its first step to its end.

use super::edge::{Spot, What};
use super::fault::{Done, fault, fault_help, plural, sts};
use super::model::*;
use super::worker::{Closing, Known, Worker};
use crate::diag::Span;
use crate::written::tree::*;

/// Which list of places the hand is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum On {
    Nothing,
    Top,
    Chain,
    Ring,
    RowEnds,
    Foundation,
    Opposite,
    Free,
}

/// What kinds of places a run of steps asks for.
#[derive(Clone, Debug, Default)]
pub(super) struct Asks {
    pub stitches: bool,
    pub spaces: bool,
    pub groups: bool,
    pub row_ends: bool,
    /// The sizes of spaces asked for by number.
    pub sizes: Vec<u32>,
}

/// A place that a stitch is worked into.
#[derive(Clone, Copy, Debug)]
pub(super) struct Site {
    pub base: Standing,
    pub last: u32,
    pub bases: u8,
    /// Whether it is a stitch top, so that a post stitch can go round it.
    pub post: bool,
}

impl Site {
    pub const NOWHERE: Site = Site { base: Standing::Nothing, last: 0, bases: 0, post: false };
    pub const RING: Site = Site { base: Standing::Ring, last: 0, bases: 1, post: false };

    pub fn at(spot: Spot) -> Site {
        Site {
            base: spot.standing(),
            last: spot.at,
            bases: 1,
            post: matches!(spot.what, What::Top | What::Wild),
        }
    }
}

/// The state of one row or round while it is worked.
pub(super) struct Pass {
    pub line: usize,
    pub shape: Option<Shape>,
    pub number: Option<u32>,
    /// The places of the row below, in working order, and where the hand is.
    pub list: Vec<Spot>,
    pub on: On,
    pub pos: usize,
    /// How many chains of the run at `pos` are used up.
    pub inner: u32,
    /// Up to here places may be passed over: the rest of a group whose centre was worked.
    pub passable: usize,
    /// Beyond the row below: what an earlier row left.
    pub beyond: Vec<Spot>,
    pub used_beyond: usize,
    /// The place worked into last, and where in the list.
    pub last: Option<(Site, usize)>,
    pub skipped: Vec<Spot>,
    /// What is made so far: its places for the next row.
    pub made: Vec<Spot>,
    pub from: u32,
    pub count: u32,
    pub spaces: u32,
    /// A run of chains not yet closed by a stitch.
    pub chains: Option<(u32, u32)>,
    pub loops: Loop,
    pub group: u32,
    /// The place of the group being worked.
    pub site: Option<Site>,
    pub depth: u32,
    pub rise: Option<(u64, bool)>,
    pub worked: bool,
    pub slips_count: bool,
    pub asks: Asks,
    pub swept: bool,
    pub left: bool,
    pub joined: bool,
    pub no_join: bool,
    pub closed_off: bool,
    pub turned_after: bool,
    pub foundation: bool,
    pub ring_made: bool,
    pub gathered: bool,
    pub started_at: usize,
    pub rejoined: bool,
    pub ground: Ground,
    pub join_chain: Option<(Option<u64>, Option<u64>)>,
    pub along_side: bool,
    pub seam: bool,
    /// Places needed by the steps behind the one being worked.
    pub tail: Option<u64>,
    pub first_used: Option<usize>,
    /// Chains at the beginning of a row, still free to be worked into.
    pub pending_extension: Option<(u32, u32)>,
    /// How deep special stitches stand in each other.
    pub nesting: usize,
    /// The rest of the group just worked is passed over by the next stitch.
    pub jump: bool,
    /// "Each" goes only up to here, where the next step names a chain space.
    pub stop_at: Option<usize>,
    /// The steps behind a repeat only say how it ends.
    pub end_said: bool,
    pub front_loops: Vec<Spot>,
    pub back_loops: Vec<Spot>,
    pub turned_before: bool,
    pub span: Span,
}

impl Pass {
    /// Lays out the places this line may be worked into.
    pub fn begin(
        w: &mut Worker,
        line: usize,
        steps: &[Step],
        shape: Option<Shape>,
        number: Option<u32>,
    ) -> Done<Pass> {
        let mut p = Pass {
            line,
            shape,
            number,
            list: Vec::new(),
            on: On::Nothing,
            pos: 0,
            inner: 0,
            passable: 0,
            beyond: Vec::new(),
            used_beyond: 0,
            last: None,
            skipped: Vec::new(),
            made: Vec::new(),
            from: w.fabric.stitches.len() as u32,
            count: 0,
            spaces: 0,
            chains: None,
            loops: Loop::Both,
            group: 0,
            site: None,
            depth: 0,
            rise: None,
            worked: false,
            slips_count: only_slips(steps),
            asks: Asks::default(),
            swept: false,
            left: false,
            joined: false,
            no_join: false,
            closed_off: false,
            turned_after: false,
            foundation: false,
            ring_made: false,
            gathered: false,
            started_at: 0,
            rejoined: false,
            ground: Ground::Nothing,
            join_chain: None,
            along_side: false,
            seam: false,
            tail: None,
            first_used: None,
            pending_extension: None,
            nesting: 0,
            jump: false,
            stop_at: None,
            end_said: false,
            front_loops: Vec::new(),
            back_loops: Vec::new(),
            turned_before: false,
            span: Span::default(),
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
        if p.foundation {
            return Ok(p);
        }
        p.lay_out(w, steps);
        Ok(p)
    }

    /// Chooses the edge the line goes on with.
    fn lay_out(&mut self, w: &mut Worker, steps: &[Step]) {
        let rejoins = steps.iter().take(4).any(|s| matches!(s.act, Act::Rejoin(_)));
        let unworked = rejoins && w.section_start && !w.reserve.is_empty();
        if unworked {
            self.list = std::mem::take(&mut w.reserve);
            self.on = On::Top;
            self.ground = Ground::Course(w.fabric.courses.len().saturating_sub(1) as u32);
            w.beyond.clear();
            w.back.clear();
            return;
        }
        if !w.top.is_empty() {
            let turn = self.turns(w, steps);
            self.turned_before = turn;
            self.list = w.top.clone();
            if turn {
                self.list.reverse();
                // After the turn, what lay behind lies ahead.
                self.beyond = std::mem::take(&mut w.back);
                w.back = std::mem::take(&mut w.beyond);
            } else {
                self.beyond = w.beyond.clone();
            }
            self.on = On::Top;
            self.ground = match w.options.before {
                Some(_) if w.fabric.courses.is_empty() => Ground::Before,
                _ => Ground::Course(w.fabric.courses.len().saturating_sub(1) as u32),
            };
        } else if !w.foundation.is_empty() {
            self.list = w.foundation.clone();
            // Worked back from the hook unless the chain was joined into a ring.
            if !w.joined_last {
                self.list.reverse();
            }
            self.on = On::Chain;
            self.ground = Ground::Chain;
        } else if w.ring {
            self.on = On::Ring;
            self.ground = Ground::Ring;
        }
    }

    /// Whether the work is turned before this line: always between rows, in rounds where it
    /// was written.
    fn turns(&self, w: &Worker, steps: &[Step]) -> bool {
        let shape = self.shape.or(w.shape);
        let refused = steps.iter().take(3).any(|s| matches!(s.act, Act::NoTurn));
        let said = steps
            .iter()
            .take_while(|s| !matches!(s.act, Act::Work(_) | Act::Repeat(_)))
            .any(|s| matches!(s.act, Act::Turn));
        match (shape, w.shape) {
            (Some(Shape::Row), Some(Shape::Row)) if !refused => !w.fresh || said || w.turned,
            (Some(Shape::Round), Some(Shape::Row)) => (said || w.turned) && !refused,
            (Some(Shape::Row), Some(Shape::Round)) => w.turned || said,
            _ => w.turned || said,
        }
    }

    /// Works all steps and closes the course.
    pub fn work(mut self, w: &mut Worker, steps: &[Step], side: Option<Side>) -> Done {
        let _ = side;
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
        for (i, step) in steps.iter().enumerate() {
            w.spend(step.at.0)?;
            if self.end_said && matches!(step.act, Act::Work(_) | Act::Skip(_)) {
                continue;
            }
            let outer = self.span;
            self.span = step.at.0;
            self.tail = self.need_behind(w, step, steps.get(i + 1..).unwrap_or(&[]));
            let rest = steps.get(i + 1..).unwrap_or(&[]);
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
            Act::Work(working) => self.working(w, working, step.at, rest),
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
                self.ring_made = true;
                if self.shape.is_none() && rest.is_empty() {
                    w.top.clear();
                    w.foundation.clear();
                }
                Ok(())
            }
            Act::Join(join) => self.join(w, join, step.at),
            Act::NoJoin => {
                self.no_join = true;
                Ok(())
            }
            Act::Repeat(repeat) => self.repeat(w, repeat, step.at, rest),
            Act::Rejoin(rejoin) => self.rejoin(w, rejoin, step.at),
            Act::Leave(leave) => self.leave(w, leave, step.at),
            Act::Colour(colour) => {
                if let Some(name) = &colour.to {
                    w.colour = colour_index(&mut w.fabric, name);
                }
                Ok(())
            }
            Act::Again(_) => Ok(()),
            Act::Even(even) => self.even(w, even.kind, step.at),
            Act::Seam(seam) => self.seam(w, seam, step.at),
            Act::Along(edge) => self.along(w, edge, step.at),
            Act::LineLoop(loops) => {
                self.loops = *loops;
                Ok(())
            }
            Act::FastenOff => {
                w.fabric.fasten_offs += 1;
                self.closed_off = true;
                Ok(())
            }
            Act::Gather => {
                self.gathered = true;
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
            self.turned_after = true;
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
            self.spaces += 1;
            self.made.push(Spot::space(first, n, self.group));
        }
    }

    /// Checks what is left over, then hands the new edge to the worker.
    fn close(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        self.settle_chains_at_end(w);
        if self.foundation {
            return self.close_foundation(w);
        }
        let counted = self.count > 0;
        if !counted && !self.worked {
            self.close_idle(w);
            return Ok(());
        }
        if !counted && self.shape.is_none() {
            self.close_idle(w);
            return Ok(());
        }
        self.left_over(w)?;
        self.closing(w, steps)?;
        self.mark_beginning_group(w);
        self.record(w);
        self.hand_over(w);
        Ok(())
    }

    fn settle_chains_at_end(&mut self, w: &mut Worker) {
        // A chain made last in a row, with nothing behind it, is the next row's turning chain.
        let _ = &w;
        self.settle_chains();
    }

    /// A foundation chain was made.
    fn close_foundation(&mut self, w: &mut Worker) -> Done {
        let to = w.fabric.stitches.len() as u32;
        w.foundation = (self.from..to)
            .filter(|i| w.fabric.stitches.get(*i as usize).is_some_and(|s| s.kind == Kind::CH))
            .map(Spot::chain)
            .collect();
        w.foundation_worked.clear();
        w.top.clear();
        w.rows.clear();
        w.back.clear();
        w.beyond.clear();
        w.reserve.clear();
        w.ring = self.joined;
        w.joined_last = self.joined;
        w.fresh = true;
        w.restart = true;
        w.known = Known::All;
        w.shape = None;
        w.closing = match w.piece.method {
            Some(Method::Joined) => Closing::Joined,
            Some(Method::Spiral) => Closing::Spiral,
            _ => Closing::Unknown,
        };
        let course = Course {
            shape: CourseShape::Foundation,
            line: self.line as u32,
            stitches: self.from..to,
            joined: self.joined,
            colour: w.colour,
            ..Course::default()
        };
        w.fabric.courses.push(course);
        Ok(())
    }

    /// A line without a row of its own: fastening off, a travelling slip stitch, a seam.
    fn close_idle(&mut self, w: &mut Worker) {
        if self.turned_after || self.turned_before {
            w.turned = true;
        }
        if self.no_join && w.closing == Closing::Unknown {
            w.closing = Closing::Spiral;
        }
        if self.closed_off || self.seam {
            w.restart = true;
        }
        if self.ring_made {
            w.restart = true;
        }
    }

    /// Faults if places are left that nothing excuses.
    pub fn left_over(&mut self, w: &Worker) -> Done {
        if self.left
            || w.known == Known::Nothing
            || matches!(self.on, On::Ring | On::Nothing | On::RowEnds) && !self.row_ends_used()
        {
            return Ok(());
        }
        if self.passable > self.pos {
            self.pos = self.passable.min(self.list.len());
            self.inner = 0;
        }
        let mut rest = self.list.get(self.pos..).unwrap_or(&[]);
        // Round the foundation and back: the first chain may have had its corner at the start.
        if self.on == On::Opposite
            && rest.len() == 1
            && self.made.get(1).is_some_and(|s| s.group != 0)
        {
            rest = &[];
        }
        let stitches = rest.iter().filter(|s| s.is_stitch()).count() as u64;
        let spaces = rest
            .iter()
            .filter(|s| {
                s.what == What::Space
                    && (self.asks.sizes.is_empty() || self.asks.sizes.contains(&s.size))
            })
            .count() as u64;
        let wanted_spaces = if self.asks.spaces && !self.swept { spaces } else { 0 };
        let wanted =
            if (self.asks.stitches || !self.asks.spaces && !self.asks.groups) && !self.swept {
                stitches
            } else {
                0
            };
        let extra = if self.inner > 0 {
            rest.first().map_or(0, |s| u64::from(s.size.saturating_sub(self.inner)))
        } else {
            0
        };
        let _ = extra;
        if wanted == 0 && wanted_spaces == 0 {
            return Ok(());
        }
        let row_end = self.on == On::RowEnds;
        let what = match (wanted, wanted_spaces) {
            (n, 0) if row_end => plural(n, "row end is", "row ends are"),
            (n, 0) => format!("{} {}", sts(n), if n == 1 { "is" } else { "are" }),
            (0, n) => plural(n, "chain space is", "chain spaces are"),
            (n, m) => format!("{} and {} are", sts(n), plural(m, "chain space", "chain spaces")),
        };
        let total = self.list.iter().filter(|s| s.is_stitch()).count();
        fault_help(
            "leftover",
            Span::default(),
            format!("{what} left unworked of {total} in the row below"),
            "work them, or say “leave remaining sts unworked”",
        )
    }

    fn row_ends_used(&self) -> bool {
        self.on == On::RowEnds && self.pos > 0
    }

    /// Whether the round is closed as the piece asks.
    fn closing(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        let round = self.shape == Some(Shape::Round);
        if !round {
            return Ok(());
        }
        if self.no_join {
            w.closing = Closing::Spiral;
        } else if self.joined {
            if w.closing != Closing::Joined {
                w.closing = Closing::Joined;
            }
        } else if w.closing == Closing::Joined && self.rise.is_some() && w.known != Known::Nothing {
            let begins = steps.iter().find(|s| !matches!(s.act, Act::Colour(_) | Act::Remark(_)));
            if self.closed_off {
                // Fastened off without a word of joining: the end is closed with a slip stitch.
                self.push(w, Kind::SL_ST, Role::Join, Site::NOWHERE, Loop::Both);
                self.joined = true;
                w.fabric.joins += 1;
            } else if begins.is_some_and(|s| matches!(s.act, Act::Chain(_)))
                && (self.turned_after || self.more_rounds(w))
            {
                let span = steps.last().map_or(Span::default(), |s| s.at.0);
                return fault_help(
                    "missing-join",
                    span,
                    "this round is not closed, although the piece is worked in joined rounds",
                    "add “join with sl st in first st”, or “do not join”",
                );
            }
        }
        Ok(())
    }

    /// Whether a round follows that begins as joined rounds do.
    fn more_rounds(&self, w: &Worker) -> bool {
        let next =
            w.piece.lines.get(self.line + 1..).unwrap_or(&[]).iter().find_map(|l| match &l.kind {
                LineKind::Work(work) | LineKind::Unread(work) => Some(work),
                _ => None,
            });
        next.is_some_and(|work| {
            work.label.as_ref().is_some_and(|l| l.shape == Shape::Round)
                && work
                    .steps
                    .iter()
                    .any(|s| matches!(s.act, Act::Chain(_) | Act::Again(_) | Act::Even(_)))
        })
    }

    /// Puts the course down in the fabric.
    pub fn record(&mut self, w: &mut Worker) {
        let to = w.fabric.stitches.len() as u32;
        if to == self.from {
            return;
        }
        let shape = match self.shape.or_else(|| self.guess(w)) {
            Some(Shape::Row) => CourseShape::Row,
            _ => CourseShape::Round,
        };
        w.fabric.courses.push(Course {
            shape,
            number: self.number,
            line: self.line as u32,
            stitches: self.from..to,
            count: self.count,
            spaces: self.spaces,
            turned: self.turned_before,
            joined: self.joined,
            ground: self.ground,
            colour: w.fabric.stitches.get(self.from as usize).map_or(0, |s| s.colour),
            gathered: self.gathered,
        });
    }

    fn guess(&self, w: &Worker) -> Option<Shape> {
        if self.joined || self.on == On::Ring {
            return Some(Shape::Round);
        }
        w.shape.or(Some(if w.joined_last { Shape::Round } else { Shape::Row }))
    }

    /// The new edge becomes what the next row is worked into.
    fn hand_over(&mut self, w: &mut Worker) {
        let shape = self.shape.or_else(|| self.guess(w)).unwrap_or(Shape::Row);
        let course = w.fabric.courses.len().saturating_sub(1) as u32;
        let mut ahead: Vec<Spot> = self.list.get(self.pos..).unwrap_or(&[]).to_vec();
        if !self.left {
            ahead.clear();
        }
        ahead.extend(self.beyond.get(self.used_beyond..).unwrap_or(&[]));
        let round_below = w.shape == Some(Shape::Round) && shape == Shape::Row;
        if round_below || self.rejoined && shape == Shape::Row {
            // A flap on a round: what it leaves waits for the next flap, and its own edges end.
            let mut reserve = ahead;
            reserve.extend(self.list.get(..self.started_at).unwrap_or(&[]));
            w.reserve = reserve;
            w.beyond.clear();
            w.back.clear();
            w.rows.clear();
        } else if shape == Shape::Row {
            w.beyond = ahead;
        } else {
            w.beyond.clear();
            w.back.clear();
        }
        if self.on == On::Chain && w.foundation_worked.is_empty() {
            let first = self.first_used.unwrap_or(0).min(self.list.len());
            w.foundation_worked =
                self.list.get(first..self.pos.min(self.list.len())).unwrap_or(&[]).to_vec();
            // Written in the order of the chain: from its beginning to the hook.
            if shape == Shape::Row {
                w.foundation_worked.reverse();
            }
        }
        self.free_loops(w);
        w.top = std::mem::take(&mut self.made);
        if shape == Shape::Row {
            if w.shape == Some(Shape::Round) || w.row_ends_before {
                w.rows.clear();
                w.row_ends_before = false;
            }
            w.rows.push(Spot::row_end(course));
        }
        w.fresh = false;
        w.turned = self.turned_after && shape == Shape::Round;
        w.ring = false;
        w.joined_last = self.joined;
        w.shape = Some(shape);
        // A foundation worked in stitches may stand before Row 1 or be Row 1.
        let own_foundation = w
            .fabric
            .stitches
            .get(self.from as usize..)
            .unwrap_or(&[])
            .iter()
            .any(|s| s.kind.form == Form::Foundation);
        w.restart = self.closed_off
            || own_foundation
            || (self.ground == Ground::Nothing && self.number.is_none());
        w.section_start = false;
        match self.number {
            Some(n) => w.number = n,
            None => w.number = w.number.saturating_add(1),
        }
        w.frame = super::worker::Frame {
            rise: self.rise.map_or(0, |r| r.0),
            counted: self.rise.is_some_and(|r| r.1),
            joined: self.joined,
        };
    }

    /// Loops that a round worked in one loop only has left free in the round below it.
    fn free_loops(&mut self, w: &mut Worker) {
        let below = self.number.unwrap_or(0).saturating_sub(1);
        let front = std::mem::take(&mut self.front_loops);
        let back = std::mem::take(&mut self.back_loops);
        if !front.is_empty() {
            w.free.push((below, Loop::Front, front));
        }
        if !back.is_empty() {
            w.free.push((below, Loop::Back, back));
        }
    }

    /// "leave remaining 6 sts unworked".
    fn leave(&mut self, w: &mut Worker, leave: &Leave, at: At) -> Done {
        let rest = self.stitches_left();
        if let Some(count) = &leave.count {
            let n = w.value(count, at)?;
            let beyond = (self.beyond.len() - self.used_beyond.min(self.beyond.len())) as u64;
            if w.known == Known::All && matches!(self.on, On::Top | On::Chain) && rest + beyond < n
            {
                return fault(
                    "overrun",
                    at.0,
                    format!("{} to be left, but only {} not worked", sts(n), rest),
                );
            }
            if w.known == Known::All && matches!(self.on, On::Top | On::Chain) && rest > n {
                return fault_help(
                    "leftover",
                    at.0,
                    format!("{} left unworked, and the text speaks of {n}", sts(rest)),
                    format!("work {} more, or leave {rest}", sts(rest - n)),
                );
            }
        }
        self.left = true;
        Ok(())
    }

    /// How many stitches of the row below are not yet worked.
    pub fn stitches_left(&self) -> u64 {
        self.list.get(self.pos..).unwrap_or(&[]).iter().filter(|s| s.is_stitch()).count() as u64
    }
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

/// The place of a colour in the fabric's list; added if new.
pub(super) fn colour_index(fabric: &mut Fabric, name: &str) -> u8 {
    let found = fabric.colours.iter().position(|c| c == name);
    let i = found.unwrap_or_else(|| {
        fabric.colours.push(name.to_owned());
        fabric.colours.len() - 1
    });
    u8::try_from(i).unwrap_or(u8::MAX)
}
