//! The hand on the row below: finding the places that words name.

use super::edge::{Spot, What};
use super::fault::{Done, fault, fault_help, plural, sts};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;

/// What a run of steps is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    Stitches,
    Spaces,
    Groups,
    RowEnds,
}

/// What one kind of place is measured in.
pub(super) fn measure(place: &PlaceKind) -> Measure {
    match place {
        PlaceKind::ChainSpace(_) => Measure::Spaces,
        PlaceKind::Special(_) | PlaceKind::Fan { .. } => Measure::Groups,
        PlaceKind::RowEnd => Measure::RowEnds,
        PlaceKind::AnyOf(kinds) => {
            kinds.iter().map(measure).find(|m| *m == Measure::Stitches).unwrap_or(Measure::Spaces)
        }
        _ => Measure::Stitches,
    }
}

/// Loops are named that the round above has used.
pub(super) fn no_free_loops<T>(span: Span) -> Done<T> {
    fault_help(
        "wrong-place",
        span,
        "no loops were left free there",
        "loops stay free where the next round is worked in the other loop only",
    )
}

impl Pass {
    /// The next stitch at or behind the hand.
    pub fn next_stitch(&self) -> Option<usize> {
        let from = self.pos;
        self.list.get(from..)?.iter().position(|s| s.is_stitch()).map(|i| from + i)
    }

    /// Moves the hand past places `i..i + n`.
    pub fn use_up(&mut self, i: usize, n: usize) {
        if self.first_used.is_none() {
            self.first_used = Some(i);
            self.started_at = i;
        }
        self.pos = i + n;
        self.inner = 0;
    }

    /// Works `made` into every place the target names.
    pub fn target(
        &mut self,
        w: &mut Worker,
        t: &Target,
        made: &Made,
        span: Span,
        travel: bool,
        skipped: Option<&ChainCounts>,
    ) -> Done {
        let m = Making { travel, ..Making::of(made, self.loops_of(t), span) };
        if let Made::Stitch { kind, count } = made
            && kind.form == Form::Foundation
        {
            let each = w.value(count, At(span))?;
            let n = match &t.reach {
                Reach::Next(n) => w.value(n, At(span))?,
                _ => 1,
            };
            let one = Made::Stitch { kind: *kind, count: Number::Plain(each.saturating_mul(n)) };
            return self.make(w, Site::NOWHERE, Making { made: &one, ..m });
        }
        let on_chain = w
            .fabric
            .stitches
            .last()
            .is_some_and(|s| s.role == Role::Ornament && s.kind == Kind::CH);
        if on_chain && t.place == PlaceKind::Chain && m.slips() {
            // "ch 3, sl st in first ch": an ornament closes on itself.
            self.room(w, 1, m.span)?;
            self.push(w, Kind::SL_ST, Role::Ornament, Site::NOWHERE, Loop::Both);
            return Ok(());
        }
        if t.place == PlaceKind::Ring || self.is_ring(w, t) {
            return self.ring_into(w, m);
        }
        self.choose_edge(w, t, span)?;
        if self.on == On::Nothing && w.known == Known::All {
            return fault_help(
                "wrong-place",
                span,
                "nothing is there yet to work into",
                "begin with a chain, a magic ring or foundation stitches",
            );
        }
        // "Magic ring, 6 sc": where nothing is said, the ring is the place.
        if self.on == On::Ring
            && t.at.0 == Span::default()
            && let Reach::Next(n) = &t.reach
        {
            for _ in 0..w.value(n, t.at)? {
                self.ring_into(w, m)?;
            }
            return Ok(());
        }
        if self.on == On::Ring && !matches!(t.reach, Reach::Same) {
            return fault_help(
                "wrong-place",
                span,
                "only the ring is there to work into, and no stitch of it is named",
                "write “in ring”",
            );
        }
        if std::mem::take(&mut self.jump) {
            self.pos = self.pos.max(self.passable.min(self.list.len()));
        }
        self.note_asks(w, t, travel);
        self.gaps |= t.part == Part::After;
        if t.part != Part::Whole
            && t.part != Part::Post
            && !matches!(t.part, Part::After | Part::Below(_) | Part::NthChain(_))
            || matches!(t.place, PlaceKind::Special(_) | PlaceKind::Fan { .. })
        {
            return self.groups_into(w, t, m);
        }
        match &t.reach {
            Reach::Next(n) => {
                let n = w.value(n, t.at)?;
                self.travel_start(w, t, travel);
                self.next(w, t, n, m)
            }
            Reach::First(n) => {
                let n = w.value(n, t.at)?;
                // Under a beginning chain that counts, the first st is the one it stands on.
                if n == 1
                    && self.rise.is_some_and(|r| r.1)
                    && self.pos == 1
                    && self.made.len() <= 2
                    && let Some((site, 0)) = self.last
                {
                    return self.make(w, site, m);
                }
                self.next(w, t, n, m)
            }
            Reach::Last(n) => {
                let n = w.value(n, t.at)?;
                self.last_ones(w, t, n, m)
            }
            Reach::Remaining(n) => match n {
                Some(n) => {
                    let n = w.value(n, t.at)?;
                    self.last_ones(w, t, n, m)
                }
                None => self.each(w, t, &Extent::End, m),
            },
            Reach::Same | Reach::SameAsJoin => self.same(w, t, m),
            Reach::Each(extent) => self.each(w, t, extent, m),
            Reach::Nth(n) => {
                let n = w.value(n, t.at)?;
                if t.place == PlaceKind::Chain {
                    return self.hook_chain(w, n, m, skipped);
                }
                // Under a beginning chain that counts, the first st is the one it stands on.
                let stood = self.rise.is_some_and(|r| r.1) && self.pos == 1 && self.made.len() == 1;
                let to_pass = n.saturating_sub(if stood { 2 } else { 1 });
                for _ in 0..to_pass {
                    match self.next_stitch() {
                        Some(i) => self.pos = i + 1,
                        None => return self.none_left(w, t, span),
                    }
                }
                self.next(w, t, 1, m)
            }
            Reach::Every(n, extent) => {
                let n = w.value(n, t.at)?;
                self.every(w, t, n, extent, m)
            }
            Reach::Evenly(_) => self.evenly(w, m),
            Reach::Spread(n) => {
                let n = w.value(n, t.at)?;
                self.next(w, t, n, m)
            }
            Reach::Any => self.next(w, t, 1, m),
            Reach::Skipped(n) => {
                let n = w.value(n, t.at)?;
                self.skipped_into(w, n, m)
            }
            Reach::Unworked(n) => {
                let n = match n {
                    Some(n) => Some(w.value(n, t.at)?),
                    None => None,
                };
                self.unworked(w, t, n, m)
            }
            Reach::All(n) => {
                let n = w.value(n, t.at)?;
                self.next(w, t, n, m)
            }
        }
    }

    /// "12 hdc into loop": the ring, where no other loop is there to be meant.
    fn is_ring(&self, w: &Worker, t: &Target) -> bool {
        let loop_word = t.place == PlaceKind::ChainSpace(None) && t.part == Part::Whole;
        let ring = self.on == On::Ring || w.ring && self.on == On::Chain;
        loop_word && ring && t.reach == Reach::Next(Number::ONE)
    }

    pub fn note_asks(&mut self, w: &Worker, t: &Target, travel: bool) {
        if travel || matches!(t.reach, Reach::Same | Reach::SameAsJoin | Reach::Skipped(_)) {
            return;
        }
        self.swept = false;
        match measure(&t.place) {
            Measure::Stitches => self.asks.stitches = true,
            Measure::Groups => self.asks.groups = true,
            Measure::RowEnds => self.asks.row_ends = true,
            Measure::Spaces => {
                self.asks.spaces = true;
                if let PlaceKind::ChainSpace(Some(n)) = &t.place
                    && let Ok(n) = w.value(n, t.at)
                    && !self.asks.sizes.contains(&(n as u32))
                {
                    self.asks.sizes.push(n as u32);
                }
            }
        }
    }

    /// "In same st": where the last stitch went, or where the round before was joined.
    pub fn same(&mut self, w: &mut Worker, t: &Target, m: Making) -> Done {
        let span = m.span;
        let joined = self.on == On::Top && w.joined_last && self.shape != Some(Shape::Row);
        let fresh =
            self.last.is_none() || (self.rejoined && self.last.is_some_and(|(_, i)| i == self.pos));
        if let Some((site, i)) = self.last {
            self.stand_used();
            if fresh {
                self.use_up(i, 1);
                self.asks.stitches = true;
            }
            if matches!(t.place, PlaceKind::ChainSpace(_))
                && w.known == Known::All
                && !self.gaps
                && !matches!(site.base, Standing::Space(_) | Standing::Before(_))
            {
                return fault(
                    "wrong-place",
                    span,
                    "“same sp”, but the last stitch was not worked into a space",
                );
            }
            return self.make(w, site, m);
        }
        let chain_ring = self.on == On::Chain && w.joined_last;
        let first = self.list.first().copied();
        match first {
            Some(spot) if (joined || chain_ring) && self.pos == 0 => {
                self.use_up(0, 1);
                self.asks.stitches = true;
                let site = Site::at(spot);
                self.last = Some((site, 0));
                self.make(w, site, m)
            }
            _ if self.on == On::Ring => self.make(w, Site::RING, m),
            _ if t.reach == Reach::SameAsJoin => fault_help(
                "wrong-place",
                span,
                "“same st as join”, but the round before was not joined",
                "join the round before, or write “in first st”",
            ),
            _ => fault_help(
                "wrong-place",
                span,
                "“same” place, but nothing has been worked in this line yet",
                "write “in first st”",
            ),
        }
    }

    /// "skip next 2 sts".
    pub fn skip(&mut self, w: &mut Worker, t: &Target) -> Done {
        let span = if t.at.0 == Span::default() { self.span } else { t.at.0 };
        self.choose_edge(w, t, span)?;
        self.jump = false;
        let n = match &t.reach {
            Reach::Next(n) | Reach::First(n) | Reach::Last(n) => w.value(n, t.at)?,
            Reach::Nth(n) => w.value(n, t.at)?,
            Reach::Remaining(Some(n)) => w.value(n, t.at)?,
            Reach::Remaining(None) | Reach::Each(_) => {
                self.end.left = true;
                return Ok(());
            }
            _ => 1,
        };
        // "Skip first st" under a chain that counts only says where the chain stands; "skip
        // first 2 sts" passes over one more.
        let stood =
            matches!(t.reach, Reach::First(_)) && self.rise.is_some_and(|r| r.1) && self.pos == 1;
        let n = if stood { n.saturating_sub(1) } else { n };
        if n == 0 {
            return Ok(());
        }
        if self.on == On::Ring {
            return Ok(());
        }
        self.note_asks(w, t, false);
        self.skipped.clear();
        if matches!(t.place, PlaceKind::Special(_) | PlaceKind::Fan { .. }) {
            for _ in 0..n {
                self.pos = self.next_group(w, t, span)?.1;
            }
            return Ok(());
        }
        // "Beginning in 2nd ch from hook" passes over chains before anything is worked.
        let unused = self.first_used.is_none() && self.on == On::Chain;
        for _ in 0..n {
            let last = self.last;
            self.take_one(w, t, span)?;
            if unused {
                self.first_used = None;
            }
            if let Some((_, i)) = self.last
                && let Some(spot) = self.list.get(i)
            {
                self.skipped.push(*spot);
            }
            self.last = last;
        }
        Ok(())
    }

    /// A place in words, for messages.
    pub fn place_words(&self, w: &Worker, place: &PlaceKind, one: bool) -> String {
        let s = if one { "" } else { "s" };
        match place {
            PlaceKind::Stitch | PlaceKind::Between => format!("st{s}"),
            PlaceKind::Named(kind) => kind.name(w.piece.terms, &w.fabric.specials) + s,
            PlaceKind::Special(i) => {
                w.fabric.specials.get(*i).map_or("group", String::as_str).to_owned() + s
            }
            PlaceKind::AnyOf(kinds) => {
                kinds.iter().map(|k| self.place_words(w, k, one)).collect::<Vec<_>>().join(" or ")
            }
            PlaceKind::Chain => format!("ch{s}"),
            PlaceKind::ChainSpace(Some(n)) => match w.value(n, At::default()) {
                Ok(n) => format!("ch-{n} sp{s}"),
                Err(_) => format!("ch sp{s}"),
            },
            PlaceKind::ChainSpace(None) => format!("ch sp{s}"),
            PlaceKind::Ring => "ring".to_owned(),
            PlaceKind::RowEnd => format!("row end{s}"),
            PlaceKind::TurningChain(_) => "turning ch".to_owned(),
            PlaceKind::Fan { count, kind } => {
                let n = count.as_ref().and_then(|n| w.value(n, At::default()).ok());
                match (n, kind) {
                    (Some(n), Some(kind)) => {
                        format!("{n}-{} group{s}", kind.name(w.piece.terms, &w.fabric.specials))
                    }
                    _ => format!("group{s} worked in one place"),
                }
            }
        }
    }

    /// A place that is there, in words.
    pub fn spot_words(&self, w: &Worker, spot: Spot) -> String {
        match spot.what {
            What::Top if spot.rise => format!(
                "a beginning ch (counted as {})",
                spot.kind.name(w.piece.terms, &w.fabric.specials)
            ),
            What::Top => format!("a {}", spot.kind.name(w.piece.terms, &w.fabric.specials)),
            What::Chain => "a ch".to_owned(),
            What::Space => format!("a ch-{} sp", spot.size),
            What::RowEnd => "a row end".to_owned(),
            What::Wild => "a st".to_owned(),
        }
    }

    /// "22 sts", for messages about what is there.
    pub fn counted_words(&self, n: u64, m: Measure) -> String {
        match m {
            Measure::Stitches => sts(n),
            Measure::Spaces => plural(n, "chain space", "chain spaces"),
            Measure::Groups => plural(n, "group", "groups"),
            Measure::RowEnds => plural(n, "row end", "row ends"),
        }
    }
}

impl Worker<'_> {
    /// Which special stitch a group is, if it is one.
    pub fn special_of(&self, group: u32) -> Option<usize> {
        if group == 0 {
            return None;
        }
        let i = self.group_specials.binary_search_by_key(&group, |g| g.0).ok()?;
        self.group_specials.get(i).map(|g| g.1)
    }
}
