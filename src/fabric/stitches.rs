//! Stitches made: chains, stitches into places, groups into one place.

use super::edge::Spot;
use super::fault::{Done, fault, fault_help};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::limits;
use crate::written::tree::*;

impl Pass {
    /// Adds one stitch to the fabric.
    pub fn push(&mut self, w: &mut Worker, kind: Kind, role: Role, site: Site, loops: Loop) -> u32 {
        let at = w.fabric.stitches.len() as u32;
        w.fabric.stitches.push(Stitch {
            kind,
            role,
            loops,
            bases: site.bases,
            colour: w.colour,
            base: site.base,
            last: site.last,
            group: self.group,
        });
        at
    }

    /// Refuses more stitches than a piece may hold.
    pub fn room(&self, w: &Worker, more: u64, span: Span) -> Done {
        let total = (w.fabric.stitches.len() as u64).saturating_add(more);
        if total > limits::STITCHES {
            return fault_help(
                "limit",
                span,
                format!("the piece would hold more than {} stitches", limits::STITCHES),
                "is there a slip in a number, or a repeat that never ends?",
            );
        }
        Ok(())
    }

    /// Stitches worked into places.
    pub fn working(&mut self, w: &mut Worker, working: &Working, at: At) -> Done {
        if working.targets.is_empty() {
            let site = self.site.unwrap_or(Site::NOWHERE);
            return self.make(w, site, Making::of(&working.made, Loop::Both, at.0));
        }
        if let (false, [target]) = (working.besides.is_empty(), working.targets.as_slice()) {
            return self.walk(w, working, target, at.0);
        }
        if let (Some(kind), Made::Stitch { kind: made, .. }) = (working.counts_as, &working.made) {
            return self.stands_with_chain(w, *made, kind, at);
        }
        let travel = self.travels(working);
        for target in &working.targets {
            let span = if target.at.0 == Span::default() { at.0 } else { target.at.0 };
            self.target(w, target, &working.made, span, travel, working.skipped.as_ref())?;
        }
        Ok(())
    }

    /// "ch 2, dc in next st (counts as dc2tog)": the chain and the stitch draw two places
    /// together, and count as one.
    fn stands_with_chain(&mut self, w: &mut Worker, made: Kind, kind: Kind, at: At) -> Done {
        let next = Target::next(Number::ONE);
        let begun = self.rise.is_some() && self.made.len() <= 1;
        if !begun {
            let name = kind.name(w.piece.terms, &w.fabric.specials);
            return fault_help(
                "wrong-place",
                at.0,
                format!("nothing stands here to count as {name} with"),
                "it counts so only behind a beginning chain",
            );
        }
        // The chain may have been counted by itself, by an earlier word.
        if let Some(Spot { at, .. }) = self.made.pop() {
            self.count = self.count.saturating_sub(1);
            self.pos = self.pos.saturating_sub(1);
            if let Some(chain) = w.fabric.stitches.get_mut(at as usize) {
                chain.role = Role::Rise;
            }
        }
        let site = self.take(w, &next, kind.bases(), at.0)?;
        self.asks.stitches = true;
        self.worked = true;
        self.room(w, 1, at.0)?;
        let stitch = self.push(w, made, Role::Counted, site, self.loops);
        self.made.push(Spot::top(kind, stitch, self.group));
        self.count += 1;
        Ok(())
    }

    /// Whether a slip stitch only travels or shapes: then it does not count.
    pub fn travels(&self, working: &Working) -> bool {
        let Made::Stitch { kind, .. } = &working.made else { return false };
        *kind == Kind::SL_ST && !self.slips_count && self.depth == 0 && !self.slip_fabric(working)
    }

    /// Whether slip stitches of a row are fabric: worked in one loop, or to the end of the row
    /// behind other stitches. To shape, a row would leave them.
    fn slip_fabric(&self, working: &Working) -> bool {
        let rows = self.shape == Some(Shape::Row) && self.on == On::Top;
        let loops = |t: &Target| matches!(self.loops_of(t), Loop::Back | Loop::Front);
        let end = |t: &Target| self.count > 0 && matches!(t.reach, Reach::Last(_));
        rows && !self.rejoined && working.targets.iter().any(|t| loops(t) || end(t))
    }

    /// Makes what is to be made in one place.
    pub fn make(&mut self, w: &mut Worker, site: Site, m: Making) -> Done {
        match m.made {
            Made::Stitch { count, kind } => {
                let n = w.value(count, At(m.span))?;
                self.one_kind(w, *kind, n, site, m)
            }
            Made::Special { count, special } => {
                let n = w.value(count, At(m.span))?;
                for _ in 0..n {
                    self.special(w, *special, site, m.span)?;
                }
                Ok(())
            }
            Made::Group(steps) => {
                let outer = (self.group, self.site);
                w.groups += 1;
                self.settle_chains();
                self.group = w.groups;
                self.site = Some(site);
                let done = self.steps(w, steps);
                // A chain at the end of a group joins what follows it.
                if let Some((first, n)) = self.chains.take() {
                    self.leave_space(first, n, 0);
                }
                (self.group, self.site) = outer;
                done
            }
        }
    }

    fn one_kind(&mut self, w: &mut Worker, kind: Kind, n: u64, site: Site, m: Making) -> Done {
        let Making { loops, span, .. } = m;
        if kind.base == Base::Picot {
            let chains = w.piece.specials.iter().rev().find_map(|s| s.picot).unwrap_or(3);
            self.room(w, n.saturating_mul(chains.saturating_add(1)), span)?;
            for _ in 0..n {
                self.picot(w, chains);
            }
            return Ok(());
        }
        self.room(w, n, span)?;
        if kind.post != Post::No && !site.post {
            let name = kind.name(w.piece.terms, &w.fabric.specials);
            return fault_help(
                "wrong-place",
                span,
                format!("{name} goes round the post of a stitch, and no stitch stands here"),
                "work it around a stitch, or use another stitch for this place",
            );
        }
        if m.travel {
            for _ in 0..n {
                self.push(w, kind, Role::Travel, site, loops);
            }
            return Ok(());
        }
        self.worked = true;
        if self.chains.is_some() {
            self.settle_chains();
        }
        let outer = self.group;
        if n > 1 && self.group == 0 {
            w.groups += 1;
            self.group = w.groups;
        }
        for _ in 0..n {
            let at = self.push(w, kind, Role::Counted, site, loops);
            self.made.push(Spot::top(kind, at, self.group));
        }
        self.count += n as u32;
        self.group = outer;
        Ok(())
    }

    /// A picot: its chains and a slip stitch that stand on the stitch before.
    fn picot(&mut self, w: &mut Worker, chains: u64) {
        for _ in 0..chains {
            self.push(w, Kind::CH, Role::Ornament, Site::NOWHERE, Loop::Both);
        }
        self.push(w, Kind::SL_ST, Role::Ornament, Site::NOWHERE, Loop::Both);
    }

    /// A special stitch made of several.
    fn special(&mut self, w: &mut Worker, special: usize, site: Site, span: Span) -> Done {
        let piece = w.piece;
        let Some(steps) = piece.specials.get(special).and_then(|s| s.made.as_ref()) else {
            return fault("unknown-stitch", span, "this stitch has no definition to work");
        };
        if self.chains.is_some() {
            self.settle_chains();
        }
        self.worked = true;
        let outer = (self.group, self.site, self.rise);
        w.groups += 1;
        self.group = w.groups;
        w.group_specials.push((self.group, special));
        self.site = Some(site);
        // Inside the stitch no chain is a beginning chain.
        self.rise = self.rise.or(Some((0, false)));
        let done = self.steps(w, steps);
        self.settle_chains();
        (self.group, self.site, self.rise) = outer;
        done
    }

    /// The first place of the round and what was worked there besides the beginning chain:
    /// if together they are a special stitch, they count as one.
    pub fn mark_beginning_group(&mut self, w: &mut Worker) {
        if w.piece.specials.iter().all(|s| s.made.is_none())
            || !self.made.first().is_some_and(|s| s.rise)
        {
            return;
        }
        let base = |w: &Worker, s: &Spot| w.fabric.stitches.get(s.at as usize).map(|s| s.base);
        let Some(first) = self.made.first().and_then(|s| base(w, s)) else { return };
        let mut end = 1;
        let mut last_stitch = 0;
        while let Some(spot) = self.made.get(end) {
            if spot.is_stitch() {
                if base(w, spot) != Some(first)
                    || w.group_specials.binary_search_by_key(&spot.group, |g| g.0).is_ok()
                {
                    break;
                }
                last_stitch = end;
            }
            end += 1;
        }
        let found: Vec<(Kind, u32)> = self
            .made
            .get(..=last_stitch)
            .unwrap_or(&[])
            .iter()
            .map(|s| (s.kind, if s.is_stitch() { 1 } else { s.size }))
            .collect();
        for (i, special) in w.piece.specials.iter().enumerate() {
            let Some(shape) = special.made.as_ref().and_then(|m| shape_of(m)) else { continue };
            if shape == found {
                w.groups += 1;
                w.group_specials.push((w.groups, i));
                for spot in self.made.iter_mut().take(last_stitch + 1) {
                    spot.group = w.groups;
                }
                return;
            }
        }
    }
}

/// The stitches and chain runs of a special stitch, in order, where they are plain.
fn shape_of(steps: &[Step]) -> Option<Vec<(Kind, u32)>> {
    let mut out = Vec::new();
    for step in steps {
        match &step.act {
            Act::Chain(Chain { count: Number::Plain(n), .. }) => {
                out.push((Kind::CH, u32::try_from(*n).ok()?))
            }
            Act::Work(Working {
                made: Made::Stitch { count: Number::Plain(n), kind },
                targets,
                ..
            }) if targets.is_empty() && *n < 100 => {
                out.extend(std::iter::repeat_n((*kind, 1), usize::try_from(*n).ok()?));
            }
            _ => return None,
        }
    }
    Some(out)
}
