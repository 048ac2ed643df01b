//! The hand on the row below: finding the places that words name.

use super::edge::{Spot, What, answers};
use super::fault::{Done, fault, fault_help, plural, sts};
use super::model::*;
use super::pass::{On, Pass, Site};
use super::worker::{Known, Worker};
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
        let loops = if t.loops == Loop::Both { self.loops } else { t.loops };
        if let Made::Stitch { kind, count } = made
            && kind.form == Form::Foundation
        {
            let each = w.value(count, At(span))?;
            let n = match &t.reach {
                Reach::Next(n) => w.value(n, At(span))?,
                _ => 1,
            };
            let one = Made::Stitch { kind: *kind, count: Number::Plain(each.saturating_mul(n)) };
            return self.make(w, &one, Site::NOWHERE, loops, span, travel);
        }
        let on_chain = w
            .fabric
            .stitches
            .last()
            .is_some_and(|s| s.role == Role::Ornament && s.kind == Kind::CH);
        if on_chain
            && t.place == PlaceKind::Chain
            && matches!(made, Made::Stitch { kind, .. } if *kind == Kind::SL_ST)
        {
            // "ch 3, sl st in first ch": an ornament closes on itself.
            self.push(w, Kind::SL_ST, Role::Ornament, Site::NOWHERE, Loop::Both);
            return Ok(());
        }
        let ornament = matches!(made, Made::Stitch { kind, .. } if kind.base == Base::Picot);
        if ornament && t.at.0 == Span::default() {
            // A picot without a place stands on the stitch before it.
            let n = match &t.reach {
                Reach::Next(n) => w.value(n, At(span))?,
                _ => 1,
            };
            for _ in 0..n {
                self.make(w, made, Site::NOWHERE, loops, span, travel)?;
            }
            return Ok(());
        }
        if t.place == PlaceKind::Ring {
            return self.ring_into(w, made, loops, span);
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
        if self.on == On::Ring && !matches!(t.reach, Reach::Same) {
            return fault_help(
                "wrong-place",
                span,
                "only the ring is there to work into, and no stitch of it is named",
                "write “in ring”",
            );
        }
        let bases = match made {
            Made::Stitch { kind, .. } => kind.bases(),
            _ => 1,
        };
        if std::mem::take(&mut self.jump) {
            self.pos = self.pos.max(self.passable.min(self.list.len()));
        }
        self.note_asks(w, t, travel);
        if t.part != Part::Whole
            && t.part != Part::Post
            && !matches!(t.part, Part::Below(_) | Part::NthChain(_))
            || matches!(t.place, PlaceKind::Special(_) | PlaceKind::Fan { .. })
        {
            return self.groups_into(w, t, made, loops, span, travel);
        }
        match &t.reach {
            Reach::Next(n) => {
                let n = w.value(n, t.at)?;
                self.travel_start(w, t, travel);
                self.next(w, t, n, bases, made, loops, span, travel)
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
                    return self.make(w, made, site, loops, span, travel);
                }
                self.next(w, t, n, bases, made, loops, span, travel)
            }
            Reach::Last(n) => {
                let n = w.value(n, t.at)?;
                self.last_ones(w, t, n, bases, made, loops, span, travel)
            }
            Reach::Remaining(n) => match n {
                Some(n) => {
                    let n = w.value(n, t.at)?;
                    self.last_ones(w, t, n, bases, made, loops, span, travel)
                }
                None => self.each(w, t, &Extent::End, bases, made, loops, span),
            },
            Reach::Same | Reach::SameAsJoin => self.same(w, t, made, loops, span, travel),
            Reach::Each(extent) => {
                let extent = extent.clone();
                self.each(w, t, &extent, bases, made, loops, span)
            }
            Reach::Nth(n) => {
                let n = w.value(n, t.at)?;
                if t.place == PlaceKind::Chain {
                    return self.hook_chain(w, n, made, loops, span, travel, skipped);
                }
                let to_pass = n.saturating_sub(1);
                for _ in 0..to_pass {
                    match self.next_stitch() {
                        Some(i) => self.pos = i + 1,
                        None => return self.none_left(w, t, span),
                    }
                }
                self.next(w, t, 1, bases, made, loops, span, travel)
            }
            Reach::Evenly => self.evenly(w, made, loops, span),
            Reach::Any => self.next(w, t, 1, bases, made, loops, span, travel),
            Reach::Skipped(n) => {
                let n = w.value(n, t.at)?;
                self.skipped_into(w, n, made, loops, span)
            }
            Reach::Unworked(n) => {
                let n = match n {
                    Some(n) => Some(w.value(n, t.at)?),
                    None => None,
                };
                self.unworked(w, t, n, made, loops, span)
            }
            Reach::All(n) => {
                let n = w.value(n, t.at)?;
                self.next(w, t, n, bases, made, loops, span, travel)
            }
        }
    }

    /// "60 sc evenly around": the printed number rules, and is not held against the edge.
    fn evenly(&mut self, w: &mut Worker, made: &Made, loops: Loop, span: Span) -> Done {
        self.left = true;
        self.pos = self.list.len();
        let one = matches!(made, Made::Stitch { count: Number::Plain(1), .. });
        let (Made::Stitch { kind, .. }, true) = (made, one) else {
            return self.make(w, made, Site::NOWHERE, loops, span, false);
        };
        let piece = w.piece;
        let claims = match piece.lines.get(self.line).map(|l| &l.kind) {
            Some(LineKind::Work(work)) => work.claims.as_slice(),
            _ => &[],
        };
        let stitches = |i: &&ClaimItem| matches!(i.unit, Unit::Stitches | Unit::Kind(_));
        let Some(item) = claims.iter().flat_map(|c| &c.items).find(stitches) else {
            return fault_help(
                "no-end",
                span,
                "how many are worked evenly? Neither a number nor a count is given",
                "write “60 sc evenly around”, or a count behind the line",
            );
        };
        let n = w.value(&item.count, item.at)?.saturating_sub(u64::from(self.count));
        let all = Made::Stitch { count: Number::Plain(n), kind: *kind };
        self.make(w, &all, Site::NOWHERE, loops, span, false)
    }

    fn note_asks(&mut self, w: &Worker, t: &Target, travel: bool) {
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

    fn ring_into(&mut self, w: &mut Worker, made: &Made, loops: Loop, span: Span) -> Done {
        if !w.ring && self.on != On::Ring {
            if w.known != Known::All {
                w.ring = true;
            } else {
                return fault_help(
                    "wrong-place",
                    span,
                    "there is no ring to work into",
                    "make one first: a magic ring, or “ch 4, join with sl st to form a ring”",
                );
            }
        }
        if self.on != On::Ring {
            self.on = On::Ring;
            self.ground = Ground::Ring;
            self.list.clear();
            self.pos = 0;
        }
        self.last = Some((Site::RING, 0));
        self.make(w, made, Site::RING, loops, span, false)
    }

    /// Goes over to the edge that the words name, if it is another one.
    fn choose_edge(&mut self, w: &mut Worker, t: &Target, span: Span) -> Done {
        if t.place == PlaceKind::RowEnd {
            let spent = self.on == On::RowEnds
                && self.pos >= self.list.len()
                && matches!(t.reach, Reach::Each(_));
            if self.on != On::RowEnds || (spent && self.along_side) {
                self.go_to(w, On::RowEnds, span)?;
                self.along_side = true;
                if self.list.is_empty() && w.known == Known::All {
                    return fault(
                        "wrong-place",
                        span,
                        "there are no row ends: no rows were worked",
                    );
                }
            }
            return Ok(());
        }
        if let Some(of) = &t.of {
            let n = w.value(of, t.at)? as u32;
            if n == 0 {
                if self.on != On::Foundation && self.on != On::Chain {
                    return self.go_to(w, On::Foundation, span);
                }
                return Ok(());
            }
            if matches!(t.loops, Loop::Front | Loop::Back) && self.go_to_free(w, t.loops, Some(n)) {
                return Ok(());
            }
            if matches!(t.loops, Loop::Front | Loop::Back) && n != w.number && w.known == Known::All
            {
                return no_free_loops(span);
            }
            if !matches!(self.on, On::Top | On::Chain | On::Free) {
                return self.go_to(w, On::Top, span);
            }
            return Ok(());
        }
        if self.on == On::RowEnds && !matches!(t.reach, Reach::Same) {
            // Along the side and round the corner: chains below, stitches above.
            let to = if t.place == PlaceKind::Chain { On::Foundation } else { On::Top };
            return self.go_to(w, to, span);
        }
        Ok(())
    }

    /// Changes to another edge; what is left on this one must be excused.
    pub fn go_to(&mut self, w: &mut Worker, on: On, span: Span) -> Done {
        if self.pos > 0 && matches!(self.on, On::Top | On::RowEnds | On::Foundation) {
            self.left_over(w).map_err(|mut f| {
                f.span = span;
                f
            })?;
        }
        self.list = match on {
            On::RowEnds => w.rows.clone(),
            On::Foundation => w.foundation_worked.clone(),
            On::Top => {
                let mut top = w.top.clone();
                if self.turned_before {
                    top.reverse();
                }
                top
            }
            _ => Vec::new(),
        };
        if on == On::RowEnds {
            self.ground = Ground::RowEnds;
        }
        self.on = on;
        self.pos = 0;
        self.inner = 0;
        self.passable = 0;
        self.asks = super::pass::Asks::default();
        self.swept = false;
        Ok(())
    }

    /// Goes over to loops that were left free, if there are any.
    pub fn go_to_free(&mut self, w: &Worker, loops: Loop, of: Option<u32>) -> bool {
        if self.on == On::Free {
            return true;
        }
        let found =
            w.free.iter().rev().find(|(n, l, _)| *l == loops && of.is_none_or(|of| of == *n));
        let Some((_, _, spots)) = found else { return false };
        self.list = spots.clone();
        self.on = On::Free;
        self.ground = Ground::FreeLoops;
        self.pos = 0;
        self.inner = 0;
        true
    }

    /// "working along …".
    pub fn along(&mut self, w: &mut Worker, edge: &Edge, at: At) -> Done {
        match edge {
            Edge::FoundationOpposite => {
                if self.on == On::Chain {
                    // Read backwards, without the last one (it holds the turn), the first shared.
                    let first = self.first_used.unwrap_or(0);
                    let end = self.pos.saturating_sub(1).max(first);
                    let mut back: Vec<Spot> = self.list.get(first..end).unwrap_or(&[]).to_vec();
                    back.reverse();
                    w.foundation_worked = back.iter().rev().copied().collect();
                    self.list = back;
                    self.on = On::Opposite;
                    self.pos = 0;
                    self.inner = 0;
                    return Ok(());
                }
                self.go_to(w, On::Foundation, at.0)
            }
            Edge::Foundation => self.go_to(w, On::Foundation, at.0),
            Edge::Side => self.go_to(w, On::RowEnds, at.0),
            Edge::Top(_) => self.go_to(w, On::Top, at.0),
            Edge::FreeLoops { loops, of } => {
                let of = match of {
                    Some(n) => Some(w.value(n, at)? as u32),
                    None => None,
                };
                if self.go_to_free(w, *loops, of) || w.known != Known::All {
                    return Ok(());
                }
                no_free_loops(at.0)
            }
        }
    }

    /// A travelling slip stitch at the beginning of a joined round starts from the first
    /// stitch: "next st" is the second.
    fn travel_start(&mut self, w: &Worker, t: &Target, travel: bool) {
        let stitch = matches!(t.place, PlaceKind::Stitch | PlaceKind::Named(_));
        if travel
            && stitch
            && w.joined_last
            && self.pos == 0
            && !self.worked
            && self.on == On::Top
            && self.shape == Some(Shape::Round)
        {
            self.pos = 1;
        }
    }

    /// The next `n` places.
    #[allow(clippy::too_many_arguments)]
    fn next(
        &mut self,
        w: &mut Worker,
        t: &Target,
        n: u64,
        bases: u32,
        made: &Made,
        loops: Loop,
        span: Span,
        travel: bool,
    ) -> Done {
        for _ in 0..n {
            let site = match self.take(w, t, bases, span) {
                Ok(site) => site,
                // The closing slip stitch of a spiral goes into the new round's first stitch.
                Err(_) if travel && self.count > 0 => Site::NOWHERE,
                Err(f) => return Err(f),
            };
            self.make(w, made, self.deep(w, t, site), loops, span, travel)?;
            self.free_loop_of(loops);
        }
        Ok(())
    }

    /// Remembers which loop stays free under the place just worked.
    fn free_loop_of(&mut self, loops: Loop) {
        let other = match loops {
            Loop::Back => &mut self.front_loops,
            Loop::Front => &mut self.back_loops,
            _ => return,
        };
        if let Some((_, i)) = self.last
            && let Some(spot) = self.list.get(i)
            && self.on != On::Free
        {
            other.push(*spot);
        }
    }

    /// A spike goes into a lower row, but uses up the place in front of it.
    fn deep(&self, w: &Worker, t: &Target, site: Site) -> Site {
        let Part::Below(n) = &t.part else { return site };
        let n = w.value(n, t.at).unwrap_or(1).min(100);
        let mut base = site.base;
        for _ in 0..n {
            if let Standing::Stitch(i) = base
                && let Some(below) = w.fabric.stitches.get(i as usize)
                && below.base != Standing::Nothing
            {
                base = below.base;
            }
        }
        Site { base, ..site }
    }

    /// Takes the next place (or the next few, for stitches drawn together).
    fn take(&mut self, w: &Worker, t: &Target, bases: u32, span: Span) -> Done<Site> {
        let mut first: Option<Site> = None;
        let in_one = matches!(t.place, PlaceKind::ChainSpace(_));
        let n = if in_one { 1 } else { bases };
        for _ in 0..n {
            let site = self.take_one(w, t, span)?;
            first = Some(match first {
                None => site,
                Some(f) => Site { last: site.last, post: f.post && site.post, ..f },
            });
        }
        let site = first.unwrap_or(Site::NOWHERE);
        Ok(Site { bases: u8::try_from(bases).unwrap_or(u8::MAX), ..site })
    }

    fn take_one(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        match &t.place {
            PlaceKind::ChainSpace(size) => {
                let size = match size {
                    Some(n) => Some(w.value(n, t.at)? as u32),
                    None => None,
                };
                self.take_space(w, size, t, span)
            }
            PlaceKind::Chain => self.take_chain(w, t, span),
            PlaceKind::Named(kind) if *kind == Kind::CH => self.take_chain(w, t, span),
            PlaceKind::Named(_) | PlaceKind::AnyOf(_) => self.take_named(w, t, span),
            PlaceKind::TurningChain(_) => self.take_turning_chain(w, t, span),
            PlaceKind::Between => self.take_stitch(w, t, span),
            _ => self.take_stitch(w, t, span),
        }
    }

    fn take_stitch(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        if let Some(i) = self.next_stitch() {
            return Ok(self.taken(i));
        }
        // What an earlier row left lies beyond.
        if let Some(offset) =
            self.beyond.get(self.used_beyond..).and_then(|b| b.iter().position(|s| s.is_stitch()))
        {
            let i = self.used_beyond + offset;
            self.used_beyond = i + 1;
            self.pos = self.list.len();
            let site = self.beyond.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
            self.last = Some((site, self.list.len()));
            return Ok(site);
        }
        self.none_left(w, t, span)
    }

    fn taken(&mut self, i: usize) -> Site {
        let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
        self.use_up(i, 1);
        self.last = Some((site, i));
        site
    }

    fn none_left<T>(&self, w: &Worker, t: &Target, span: Span) -> Done<T> {
        let total = self.list.iter().filter(|s| s.is_stitch()).count() as u64;
        let what = self.place_words(w, &t.place, true);
        let unit = if self.on == On::RowEnds {
            "row ends".to_owned()
        } else {
            format!("sts in the row below ({total})")
        };
        fault_help(
            "overrun",
            span,
            format!("no {what} is left to work into: all {unit} are used up"),
            "count what this line asks for against the line before it",
        )
    }

    fn take_named(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        loop {
            let any_space = matches!(&t.place, PlaceKind::AnyOf(k) if k.iter().any(|k| matches!(k, PlaceKind::ChainSpace(_))));
            let next = if any_space {
                (self.pos < self.list.len()).then_some(self.pos)
            } else {
                self.next_stitch()
            };
            let Some(i) = next else { return self.take_stitch(w, t, span) };
            if self.list.get(i).is_some_and(|s| self.fits(w, *s, &t.place)) {
                return Ok(self.taken(i));
            }
            if i < self.passable {
                self.pos = self.passable;
                continue;
            }
            let found = self.list.get(i).map_or_else(String::new, |s| self.spot_words(w, *s));
            let what = self.place_words(w, &t.place, true);
            return fault_help(
                "wrong-place",
                span,
                format!("the next stitch is {found}, not {what}"),
                "check the stitch named here against the line before it",
            );
        }
    }

    /// Whether a place answers to what is asked.
    pub fn fits(&self, w: &Worker, spot: Spot, place: &PlaceKind) -> bool {
        match place {
            PlaceKind::Stitch | PlaceKind::RowEnd | PlaceKind::Between => spot.is_stitch(),
            PlaceKind::Named(kind) => match spot.what {
                What::Wild => true,
                What::Top => answers(spot.kind, *kind),
                What::Chain => *kind == Kind::CH,
                _ => false,
            },
            PlaceKind::Chain => spot.what == What::Chain || spot.what == What::Wild,
            PlaceKind::ChainSpace(size) => {
                spot.what == What::Space
                    && size.as_ref().is_none_or(|n| {
                        w.value(n, At::default()).is_ok_and(|n| n == u64::from(spot.size))
                    })
            }
            PlaceKind::TurningChain(_) => spot.rise || spot.what == What::Wild,
            PlaceKind::AnyOf(kinds) => kinds.iter().any(|k| self.fits(w, spot, k)),
            PlaceKind::Special(i) => w.special_of(spot.group) == Some(*i),
            PlaceKind::Fan { .. } => spot.group != 0,
            PlaceKind::Ring => false,
        }
    }

    fn take_space(&mut self, w: &Worker, size: Option<u32>, t: &Target, span: Span) -> Done<Site> {
        let fits = |s: &Spot| s.what == What::Space && size.is_none_or(|n| n == s.size);
        let from = if self.inner > 0 { self.pos + 1 } else { self.pos };
        if let Some(i) =
            self.list.get(from..).and_then(|l| l.iter().position(fits)).map(|i| from + i)
        {
            return Ok(self.taken(i));
        }
        let what = self.place_words(w, &t.place, true);
        if self.list.iter().any(fits) {
            return fault_help(
                "overrun",
                span,
                format!(
                    "no {what} is left: all {} are used up",
                    self.list.iter().filter(|s| fits(s)).count()
                ),
                "count what this line asks for against the line before it",
            );
        }
        let sizes: Vec<String> = {
            let mut s: Vec<u32> =
                self.list.iter().filter(|s| s.what == What::Space).map(|s| s.size).collect();
            s.sort_unstable();
            s.dedup();
            s.into_iter().map(|n| format!("ch-{n} sps")).collect()
        };
        let there = if sizes.is_empty() {
            "it has no chain spaces".to_owned()
        } else {
            format!("it has {}", sizes.join(" and "))
        };
        fault_help(
            "wrong-place",
            span,
            format!("there is no {what} in the row below: {there}"),
            "name the space as the line before makes it",
        )
    }

    fn take_chain(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        // A chain of a foundation, or the next single chain of a run.
        for i in self.pos..self.list.len() {
            let Some(spot) = self.list.get(i).copied() else { break };
            match spot.what {
                What::Chain | What::Wild => return Ok(self.taken(i)),
                What::Space => {
                    let inner = if i == self.pos { self.inner } else { 0 };
                    if inner >= spot.size {
                        continue;
                    }
                    let at = spot.at + inner;
                    self.use_up(i, 0);
                    self.inner = inner + 1;
                    if self.inner == spot.size {
                        self.use_up(i, 1);
                    }
                    let site = Site { base: Standing::Stitch(at), last: at, bases: 1, post: false };
                    self.last = Some((site, i));
                    return Ok(site);
                }
                _ if w.referred && spot.is_stitch() => return Ok(self.taken(i)),
                _ if i < self.passable => {}
                _ => break,
            }
        }
        if self.next_stitch().is_some() || self.list.iter().any(|s| s.what == What::Space) {
            let found = self
                .next_stitch()
                .and_then(|i| self.list.get(i))
                .map_or_else(|| "a space".to_owned(), |s| self.spot_words(w, *s));
            return fault("wrong-place", span, format!("the next place is {found}, not a chain"));
        }
        self.none_left(w, t, span)
    }

    fn take_turning_chain(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        self.pos = self.pos.max(self.passable.min(self.list.len()));
        match self.list.last().copied() {
            Some(last) if last.rise || last.what == What::Wild => {
                let i = self.list.len() - 1;
                if self.pos > i {
                    return fault("overrun", span, "the turning chain is already worked into");
                }
                if self.next_stitch() != Some(i) {
                    let left = self.stitches_left().saturating_sub(1);
                    return fault(
                        "leftover",
                        span,
                        format!("{} not worked before the turning chain", sts(left)),
                    );
                }
                Ok(self.taken(i))
            }
            _ if self.next_stitch().is_none() => self.none_left(w, t, span),
            _ => fault_help(
                "wrong-place",
                span,
                "the beginning chain of the row below does not count as a stitch, so its top is no place",
                "say “counts as” where it is made, or leave this stitch out",
            ),
        }
    }

    /// "last 4 sts": they must be what is left.
    #[allow(clippy::too_many_arguments)]
    fn last_ones(
        &mut self,
        w: &mut Worker,
        t: &Target,
        n: u64,
        bases: u32,
        made: &Made,
        loops: Loop,
        span: Span,
        travel: bool,
    ) -> Done {
        if matches!(t.place, PlaceKind::TurningChain(_)) {
            return self.next(w, t, n, bases, made, loops, span, travel);
        }
        let need =
            if matches!(t.place, PlaceKind::ChainSpace(_)) { n } else { n * u64::from(bases) };
        let fitting = |from: usize| {
            let ahead = self.list.get(from..).unwrap_or(&[]);
            ahead.iter().filter(|s| self.fits(w, **s, &t.place)).count() as u64
        };
        let mut left = fitting(self.pos);
        if self.passable > self.pos && left > need && fitting(self.passable) == need {
            self.pos = self.passable;
            left = need;
        }
        if left > need && !travel && w.known != Known::Nothing {
            let what = self.place_words(w, &t.place, false);
            return fault_help(
                "leftover",
                span,
                format!("{left} {what} are left here, and only the last {need} are worked"),
                format!(
                    "{} before them {} not worked",
                    left - need,
                    if left - need == 1 { "is" } else { "are" }
                ),
            );
        }
        self.next(w, t, n, bases, made, loops, span, travel)
    }

    fn same(
        &mut self,
        w: &mut Worker,
        t: &Target,
        made: &Made,
        loops: Loop,
        span: Span,
        travel: bool,
    ) -> Done {
        let joined = self.on == On::Top && w.joined_last && self.shape != Some(Shape::Row);
        let fresh =
            self.last.is_none() || (self.rejoined && self.last.is_some_and(|(_, i)| i == self.pos));
        if let Some((site, i)) = self.last {
            if fresh {
                self.use_up(i, 1);
                self.asks.stitches = true;
            }
            if matches!(t.place, PlaceKind::ChainSpace(_))
                && w.known == Known::All
                && !matches!(site.base, Standing::Space(_) | Standing::Before(_))
            {
                return fault(
                    "wrong-place",
                    span,
                    "“same sp”, but the last stitch was not worked into a space",
                );
            }
            return self.make(w, made, site, loops, span, travel);
        }
        let chain_ring = self.on == On::Chain && w.joined_last;
        let first = self.list.first().copied();
        match first {
            Some(spot) if (joined || chain_ring) && self.pos == 0 => {
                self.use_up(0, 1);
                self.asks.stitches = true;
                let site = Site::at(spot);
                self.last = Some((site, 0));
                self.make(w, made, site, loops, span, travel)
            }
            _ if self.on == On::Ring => self.make(w, made, Site::RING, loops, span, travel),
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

    /// "2nd ch from hook".
    #[allow(clippy::too_many_arguments)]
    fn hook_chain(
        &mut self,
        w: &mut Worker,
        n: u64,
        made: &Made,
        loops: Loop,
        span: Span,
        travel: bool,
        skipped: Option<&ChainCounts>,
    ) -> Done {
        if self.on != On::Chain || self.pos > 0 {
            // An ornament closes on itself: "ch 3, sl st in 3rd ch from hook".
            let slip = matches!(made, Made::Stitch { kind, .. } if *kind == Kind::SL_ST);
            let last = w.fabric.stitches.last().copied();
            if slip && self.worked && last.is_some_and(|s| s.kind == Kind::CH) {
                self.push(w, Kind::SL_ST, Role::Ornament, Site::NOWHERE, Loop::Both);
                return Ok(());
            }
            // Chains made at the beginning of the row lengthen it.
            match self.pending_extension.take() {
                Some((first, chains)) if n >= 2 && n <= u64::from(chains) => {
                    let mut list: Vec<Spot> =
                        (first..first + chains).rev().map(Spot::chain).collect();
                    list.append(&mut self.list);
                    self.list = list;
                    self.pos = 0;
                    self.rise = None;
                }
                _ => {
                    return fault_help(
                        "wrong-place",
                        span,
                        "“ch from hook”, but no chain is there to work into",
                        "name the stitch of the row below: “in first st”",
                    );
                }
            }
        }
        let skip = n.saturating_sub(1) as usize;
        if skip >= self.list.len() || n == 0 {
            return fault(
                "overrun",
                span,
                format!(
                    "the chain has {} chs, and the {n}th from the hook is asked for",
                    self.list.len()
                ),
            );
        }
        self.pos = skip;
        self.first_used = Some(skip);
        self.asks.stitches = true;
        // Skipped chains count as a stitch only where the text says so.
        let says = match skipped {
            Some(counts) => counts.as_kind.clone().map(|k| (k.kind, k.chains)),
            None => match w.conventions.get(&(skip as u64)) {
                Some(Some(k)) if skip >= 2 => Some((k.kind, k.chains.clone())),
                _ => match &w.convention {
                    Some(Some(_)) if skip >= 2 => Some((None, None)),
                    _ => None,
                },
            },
        };
        if let Some((kind, over)) = says
            && skip > 0
        {
            let kind = kind.or(match made {
                Made::Stitch { kind, .. } => Some(kind.single()),
                _ => None,
            });
            let foot = self.list.get(skip - 1).map_or(0, |s| s.at);
            if let Some(s) = w.fabric.stitches.get_mut(foot as usize) {
                s.role = Role::CountedRise;
            }
            self.count += 1;
            self.first_used = Some(skip - 1);
            self.made.push(Spot {
                rise: true,
                ..Spot::top(kind.unwrap_or(Kind::plain(Base::Dc)), foot, 0)
            });
            // "skipped chs count as dc and ch 1": the rest of them are a space.
            if let Some(over) = over {
                let n = w.value(&over, At(span))? as u32;
                self.spaces += 1;
                self.made.push(Spot::space(foot, n, 0));
            }
        }
        let site = self.taken(skip);
        self.make(w, made, site, loops, span, travel)
    }

    fn skipped_into(
        &mut self,
        w: &mut Worker,
        n: u64,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done {
        let n = if n == 0 { self.skipped.len() } else { n as usize };
        if self.skipped.len() < n || n == 0 {
            return fault(
                "overrun",
                span,
                format!("{n} skipped sts are asked for, and {} were skipped", self.skipped.len()),
            );
        }
        let spots: Vec<Spot> = self.skipped.drain(..n).collect();
        for spot in spots {
            self.make(w, made, Site::at(spot), loops, span, false)?;
        }
        Ok(())
    }

    /// Sts that an earlier row left unworked.
    fn unworked(
        &mut self,
        w: &mut Worker,
        t: &Target,
        n: Option<u64>,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done {
        let here = self.stitches_left();
        let beyond = self
            .beyond
            .get(self.used_beyond..)
            .unwrap_or(&[])
            .iter()
            .filter(|s| s.is_stitch())
            .count() as u64;
        if here > 0 && beyond > 0 && w.known == Known::All {
            return fault_help(
                "leftover",
                span,
                format!("{} of the row below not worked before the unworked ones", sts(here)),
                "work them first",
            );
        }
        let n = n.unwrap_or(here + beyond);
        self.next(w, t, n, 1, made, loops, span, false)
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
                self.left = true;
                return Ok(());
            }
            _ => 1,
        };
        // "Skip first st" under a chain that counts only says where the chain stands.
        if matches!(t.reach, Reach::First(_))
            && n == 1
            && self.rise.is_some_and(|r| r.1)
            && self.pos == 1
        {
            return Ok(());
        }
        if self.on == On::Ring {
            return Ok(());
        }
        self.note_asks(w, t, false);
        self.skipped.clear();
        if matches!(t.place, PlaceKind::Special(_) | PlaceKind::Fan { .. }) {
            for _ in 0..n {
                let (a, b) = self.next_group(w, t, span)?;
                let _ = a;
                self.pos = b;
            }
            return Ok(());
        }
        for _ in 0..n {
            let pos = self.pos;
            let last = self.last;
            self.take_one(w, t, span)?;
            if let Some((_, i)) = self.last
                && let Some(spot) = self.list.get(i)
            {
                self.skipped.push(*spot);
            }
            let _ = pos;
            self.last = last;
        }
        Ok(())
    }

    /// The next group of the kind asked for: its first place and the one behind its last.
    pub fn next_group(&self, w: &Worker, t: &Target, span: Span) -> Done<(usize, usize)> {
        match self.group_from(w, t, self.pos)? {
            Some(found) => Ok(found),
            None => {
                let what = self.place_words(w, &t.place, true);
                if self.group_from(w, t, 0)?.is_some() {
                    let help = "count what this line asks for against the line before it";
                    return fault_help(
                        "overrun",
                        span,
                        format!("no {what} is left: all are used up"),
                        help,
                    );
                }
                fault_help(
                    "wrong-place",
                    span,
                    format!("there is no {what} in the row below"),
                    "check what the line before makes",
                )
            }
        }
    }

    /// The first group that fits at or behind `pos`.
    fn group_from(&self, w: &Worker, t: &Target, pos: usize) -> Done<Option<(usize, usize)>> {
        let wanted = match &t.place {
            PlaceKind::Fan { count: Some(n), .. } => Some(w.value(n, t.at)? as usize),
            _ => None,
        };
        // The hand may stand inside a group: begin where that one begins.
        let here = self.list.get(pos).map_or(0, |s| s.group);
        let mut i = pos.min(self.list.len());
        while here != 0 && i > 0 && self.list.get(i - 1).is_some_and(|s| s.group == here) {
            i -= 1;
        }
        while i < self.list.len() {
            let group = self.list.get(i).map_or(0, |s| s.group);
            let mut end = i + 1;
            while group != 0 && self.list.get(end).is_some_and(|s| s.group == group) {
                end += 1;
            }
            let stitches =
                self.list.get(i..end).unwrap_or(&[]).iter().filter(|s| s.is_stitch()).count();
            let fits = group != 0
                && match &t.place {
                    PlaceKind::Special(k) => w.special_of(group) == Some(*k),
                    PlaceKind::Fan { kind, .. } => {
                        wanted.map_or(stitches >= 2, |n| n == stitches)
                            && kind.is_none_or(|k| {
                                self.list
                                    .get(i..end)
                                    .unwrap_or(&[])
                                    .iter()
                                    .filter(|s| s.is_stitch())
                                    .all(|s| answers(s.kind, k))
                            })
                    }
                    _ => false,
                };
            // The centre may still lie ahead when the hand is inside the group.
            let reached = match t.part {
                Part::Whole | Part::FirstOf(_) => i >= pos,
                Part::Centre(_) => i + (end - i) / 2 >= pos,
                Part::SpaceOf(_) => (pos.max(i)..end)
                    .any(|k| self.list.get(k).is_some_and(|s| s.what == What::Space)),
                _ => end > pos,
            };
            if fits && reached {
                return Ok(Some((i, end)));
            }
            i = end;
        }
        Ok(None)
    }

    /// Work into groups or parts of them: "center dc of next shell", "ch-1 sp of each V-st".
    fn groups_into(
        &mut self,
        w: &mut Worker,
        t: &Target,
        made: &Made,
        loops: Loop,
        span: Span,
        travel: bool,
    ) -> Done {
        let n = match &t.reach {
            Reach::Next(n) | Reach::First(n) | Reach::Last(n) => w.value(n, t.at)?,
            Reach::Each(_) | Reach::Remaining(None) => u64::MAX,
            Reach::Same => {
                return match self.last {
                    Some((site, _)) => self.make(w, made, site, loops, span, travel),
                    None => fault(
                        "wrong-place",
                        span,
                        "“same” place, but nothing has been worked in this line yet",
                    ),
                };
            }
            _ => 1,
        };
        let leave = match &t.reach {
            Reach::Each(Extent::ToLast { count, .. }) => w.value(count, t.at)?,
            Reach::Each(_) => self.tail.unwrap_or(0),
            _ => 0,
        };
        let total = if n == u64::MAX { self.groups_left(w, t).saturating_sub(leave) } else { n };
        if n == u64::MAX && total == 0 && leave == 0 {
            // Says that there is none at all, or none left.
            self.next_group(w, t, span)?;
        }
        for _ in 0..total {
            let (a, b) = self.next_group(w, t, span)?;
            let i = self.part_of_group(w, t, a, b, span)?;
            let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
            self.use_up(i, 1);
            self.last = Some((site, i));
            if t.part == Part::Whole {
                self.pos = b;
            } else {
                self.passable = b;
            }
            self.make(w, made, site, loops, span, travel)?;
        }
        if n == u64::MAX {
            self.swept = true;
            // The rest of the last group is passed over, unless “skip next dc” names it.
            self.jump = leave == 0;
        }
        Ok(())
    }

    /// How many groups of the kind asked for lie ahead.
    pub fn groups_left(&self, w: &Worker, t: &Target) -> u64 {
        let mut pos = self.pos;
        let mut n = 0;
        while let Ok(Some((_, end))) = self.group_from(w, t, pos) {
            n += 1;
            if end <= pos {
                break;
            }
            pos = end;
        }
        n
    }

    /// Which place of the group `a..b` is meant.
    fn part_of_group(&self, w: &Worker, t: &Target, a: usize, b: usize, span: Span) -> Done<usize> {
        let group = self.list.get(a..b).unwrap_or(&[]);
        let stitches: Vec<usize> =
            group.iter().enumerate().filter(|(_, s)| s.is_stitch()).map(|(i, _)| a + i).collect();
        let spaces: Vec<usize> = group
            .iter()
            .enumerate()
            .filter(|(_, s)| s.what == What::Space)
            .map(|(i, _)| a + i)
            .collect();
        let middle = |list: &[usize]| {
            if list.len() % 2 == 1 { list.get(list.len() / 2).copied() } else { None }
        };
        let what = self.place_words(w, &t.place, true);
        let checked = |i: Option<usize>, kind: &Option<Kind>| -> Done<usize> {
            let Some(i) = i else {
                return fault_help(
                    "wrong-place",
                    span,
                    format!("a {what} of {} has no centre stitch", sts(stitches.len() as u64)),
                    "work between its stitches, or make it of an odd number",
                );
            };
            match (kind, self.list.get(i)) {
                (Some(kind), Some(spot)) if !self.fits(w, *spot, &PlaceKind::Named(*kind)) => {
                    let asked = kind.name(w.piece.terms, &w.fabric.specials);
                    fault(
                        "wrong-place",
                        span,
                        format!(
                            "that stitch of the {what} is {}, not {asked}",
                            self.spot_words(w, *spot)
                        ),
                    )
                }
                _ => Ok(i),
            }
        };
        match &t.part {
            Part::Centre(kind) => {
                checked(middle(&stitches).filter(|_| spaces.len().is_multiple_of(2)), kind)
            }
            Part::FirstOf(kind) => checked(stitches.first().copied(), kind),
            Part::LastOf(kind) => checked(stitches.last().copied(), kind),
            Part::SpaceOf(size) => {
                let size = match size {
                    Some(n) => Some(w.value(n, t.at)? as u32),
                    None => None,
                };
                let fitting: Vec<usize> = spaces
                    .iter()
                    .copied()
                    .filter(|i| self.list.get(*i).is_some_and(|s| size.is_none_or(|n| n == s.size)))
                    .collect();
                match middle(&fitting).or(fitting.first().copied()) {
                    Some(i) => Ok(i),
                    None => fault("wrong-place", span, format!("a {what} has no such chain space")),
                }
            }
            _ => Ok(middle(&spaces)
                .or_else(|| middle(&stitches))
                .or(stitches.first().copied())
                .unwrap_or(a)),
        }
    }

    /// "each st around", "each dc and in each ch-1 sp", to the end or to the last few.
    #[allow(clippy::too_many_arguments)]
    fn each(
        &mut self,
        w: &mut Worker,
        t: &Target,
        extent: &Extent,
        bases: u32,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done {
        let mut place = t.place.clone();
        if place == PlaceKind::Chain
            && !self.list.iter().any(|s| matches!(s.what, What::Chain | What::Space))
            && (w.referred || self.list.iter().any(|s| s.what == What::Wild))
        {
            place = PlaceKind::Stitch;
        }
        let limit = match extent {
            Extent::End => match (self.tail, self.stop_at.take()) {
                (_, Some(stop)) => stop,
                (Some(n), None) if n > 0 => self.index_of_last(w, n, &place),
                _ => self.list.len(),
            },
            Extent::ToLast { count, place: last } => {
                let n = w.value(count, t.at)?;
                self.index_of_last(w, n, last)
            }
            Extent::ToTurningChain => match self.list.last() {
                Some(s) if s.rise => self.list.len() - 1,
                _ => self.list.len(),
            },
        };
        let measured = measure(&place);
        let singles = matches!(&place, PlaceKind::Chain)
            || matches!(&place, PlaceKind::AnyOf(k) if k.contains(&PlaceKind::Chain));
        let fast =
            bases == 1 && place == PlaceKind::Stitch && matches!(t.part, Part::Whole | Part::Post);
        let mut worked: u64 = 0;
        if fast {
            worked = self.each_stitch(w, limit, made, loops, span)?;
        } else if bases > 1 && measured == Measure::Stitches {
            worked = self.each_together(w, t, limit, bases, made, loops, span)?;
        } else {
            for i in self.pos..limit {
                let Some(spot) = self.list.get(i).copied() else { break };
                if singles && spot.what == What::Space {
                    for k in 0..spot.size {
                        let at = spot.at + k;
                        let site =
                            Site { base: Standing::Stitch(at), last: at, bases: 1, post: false };
                        self.make(w, made, site, loops, span, false)?;
                        worked += 1;
                    }
                    self.taken(i);
                    continue;
                }
                if !self.fits(w, spot, &place) {
                    continue;
                }
                let site = self.taken(i);
                self.make(w, made, self.deep(w, t, site), loops, span, false)?;
                self.free_loop_of(loops);
                worked += 1;
            }
        }
        if worked == 0
            && w.known == Known::All
            && matches!(extent, Extent::End)
            && self.tail.unwrap_or(0) == 0
        {
            let what = self.place_words(w, &place, true);
            let any = self.list.iter().any(|s| self.fits(w, *s, &place));
            return match any {
                true => fault("overrun", span, format!("no {what} is left: all are used up")),
                false => fault_help(
                    "wrong-place",
                    span,
                    format!("there is no {what} in the row below"),
                    "check what the line before makes",
                ),
            };
        }
        let all = matches!(place, PlaceKind::Stitch | PlaceKind::RowEnd);
        self.pos = if all || extent == &Extent::End && self.tail.unwrap_or(0) == 0 {
            self.pos.max(limit)
        } else {
            self.pos
        };
        self.inner = 0;
        self.swept = !all;
        Ok(())
    }

    /// The hot path: one stitch or group into each stitch up to `limit`.
    fn each_stitch(
        &mut self,
        w: &mut Worker,
        limit: usize,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done<u64> {
        let mut worked = 0;
        if self.first_used.is_none() {
            self.first_used = self.next_stitch();
            self.started_at = self.first_used.unwrap_or(0);
        }
        let simple = match made {
            Made::Stitch { count: Number::Plain(1), kind }
                if kind.post == Post::No && kind.base != Base::Picot && self.group == 0 =>
            {
                Some(*kind)
            }
            _ => None,
        };
        if let Some(kind) = simple
            && !matches!(loops, Loop::Back | Loop::Front)
        {
            self.settle_chains();
            self.room(w, (limit.saturating_sub(self.pos)) as u64, span)?;
            let mut last = self.last;
            self.made.reserve(limit.saturating_sub(self.pos));
            for (i, spot) in self.list.iter().enumerate().take(limit).skip(self.pos) {
                if !spot.is_stitch() {
                    continue;
                }
                let site = Site::at(*spot);
                let at = w.fabric.stitches.len() as u32;
                w.fabric.stitches.push(Stitch {
                    kind,
                    role: Role::Counted,
                    loops,
                    bases: 1,
                    colour: w.colour,
                    base: site.base,
                    last: site.last,
                    group: 0,
                });
                self.made.push(Spot::top(kind, at, 0));
                last = Some((site, i));
                worked += 1;
            }
            self.last = last;
            self.count += worked as u32;
            self.worked |= worked > 0;
            return Ok(worked);
        }
        for i in self.pos..limit {
            if self.list.get(i).is_some_and(|s| s.is_stitch()) {
                let site = self.taken(i);
                self.make(w, made, site, loops, span, false)?;
                self.free_loop_of(loops);
                worked += 1;
            }
        }
        Ok(worked)
    }

    /// "sc2tog around": each uses up several.
    #[allow(clippy::too_many_arguments)]
    fn each_together(
        &mut self,
        w: &mut Worker,
        t: &Target,
        limit: usize,
        bases: u32,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done<u64> {
        let fitting: Vec<usize> = (self.pos..limit)
            .filter(|i| self.list.get(*i).is_some_and(|s| self.fits(w, *s, &t.place)))
            .collect();
        let n = fitting.len() as u64;
        let over = n % u64::from(bases);
        if over != 0 {
            return fault_help(
                "leftover",
                span,
                format!("{} to work, drawn together by {bases}: {over} left over", sts(n)),
                format!("{} or {} would fit", n - over, n - over + u64::from(bases)),
            );
        }
        let mut worked = 0;
        for pair in fitting.chunks(bases as usize) {
            let (Some(a), Some(b)) = (pair.first(), pair.last()) else { continue };
            let first = self.list.get(*a).map_or(Site::NOWHERE, |s| Site::at(*s));
            let last = self.list.get(*b).map_or(Site::NOWHERE, |s| Site::at(*s));
            let site = Site {
                last: last.last,
                bases: u8::try_from(bases).unwrap_or(u8::MAX),
                post: first.post && last.post,
                ..first
            };
            self.use_up(*a, b - a + 1);
            self.last = Some((site, *b));
            self.make(w, made, site, loops, span, false)?;
            worked += u64::from(bases);
        }
        Ok(worked)
    }

    /// Where the last `n` places of a kind begin.
    pub fn index_of_last(&self, w: &Worker, n: u64, place: &PlaceKind) -> usize {
        if n == 0 {
            return self.list.len();
        }
        let mut left = n;
        for i in (self.pos..self.list.len()).rev() {
            if self.list.get(i).is_some_and(|s| self.fits(w, *s, place)) {
                left -= 1;
                if left == 0 {
                    return i;
                }
            }
        }
        self.pos
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
    fn spot_words(&self, w: &Worker, spot: Spot) -> String {
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
