//! Claims: what a line says of its own count, held against what was worked.

use super::edge::What;
use super::fault::{Done, Fault, fault_help};
use super::model::*;
use super::recover::Known;
use super::worker::Worker;
use crate::written::tree::*;
use std::collections::BTreeMap;

/// Whether stitches of another height than `kind` stand among these.
fn other_heights(kinds: &BTreeMap<Kind, u64>, kind: Kind) -> bool {
    kinds.iter().any(|(k, n)| *n > 0 && k.is_of_a_height() && k.base != kind.base)
}

impl Worker<'_> {
    /// The stitches of a course that count, in all and by name.
    pub fn counts_of(&self, course: usize) -> (u64, BTreeMap<String, u64>) {
        let mut by_name = BTreeMap::new();
        let mut total = 0;
        for (kind, n) in self.kinds_of(course) {
            total += n;
            *by_name.entry(kind.name(self.piece.terms, &self.fabric.specials)).or_default() += n;
        }
        (total, by_name)
    }

    /// The stitches of a course that count, by kind. A beginning chain that counts is the
    /// stitch it stands for.
    fn kinds_of(&self, course: usize) -> BTreeMap<Kind, u64> {
        let Some(c) = self.fabric.courses.get(course) else { return BTreeMap::new() };
        let counts = |stitch: &&Stitch| match stitch.role {
            Role::Counted => true,
            Role::Space => self.conventions.count_chains,
            _ => false,
        };
        let mut out = tally(self.fabric.of(c).iter().filter(counts));
        let counted: u64 = out.values().sum();
        if u64::from(c.count) > counted {
            // The beginning chain: the course's own edge knows what it counts as.
            let kind = self.rise_kind(course, &out);
            *out.entry(kind).or_default() += u64::from(c.count) - counted;
        }
        out
    }

    fn rise_kind(&self, course: usize, others: &BTreeMap<Kind, u64>) -> Kind {
        let last = course + 1 == self.fabric.courses.len();
        if last && let Some(spot) = self.top.iter().find(|s| s.rise) {
            return spot.kind;
        }
        others.iter().max_by_key(|(_, n)| **n).map_or(Kind::SC, |(k, _)| k.single())
    }

    /// Every claim of the line against its last row or round.
    pub fn check_claims(
        &mut self,
        work: &Work,
        course: Option<usize>,
        first_course: usize,
    ) -> Done {
        if self.known == Known::Nothing {
            // The state is not known: the claim is taken over as it stands; where what was worked
            // is that many, it is as it was worked.
            let made = course.and_then(|c| self.fabric.courses.get(c)).map(|c| u64::from(c.count));
            let seen = !self.top.is_empty() && self.top.iter().all(|s| s.what != What::Wild);
            if seen && made.is_some() && made == self.claimed(work) {
                self.known = Known::All;
                return Ok(());
            }
            if course.is_some() {
                return self.trust(work);
            }
            return Ok(());
        }
        for claim in &work.claims {
            let items: Vec<&ClaimItem> = claim.items.iter().collect();
            let groups =
                items.iter().any(|i| matches!(i.unit, Unit::Special(_) | Unit::Fans | Unit::Vees));
            for item in &items {
                let said = self.value(&item.count, item.at)?;
                let made = course.and_then(|c| self.fabric.courses.get(c));
                self.spend_on(made.map_or(0, |c| c.stitches.len()), item.at.0)?;
                // "(7 V-sts, 2 dc)": the 2 stand beside the groups.
                if let (true, Unit::Kind(kind)) = (groups, &item.unit)
                    && said == self.outside_groups(*kind)
                {
                    continue;
                }
                let Some((made, what)) =
                    self.measured(item, course, first_course, items.len() == 1, said)
                else {
                    continue;
                };
                if said != made && self.known == Known::Count && self.unseen(work, said, made) {
                    return self.trust(work);
                }
                if said != made {
                    let other = self.other_stitches(item, course, said);
                    let f = Fault {
                        code: "count-mismatch",
                        span: item.at.0,
                        message: format!(
                            "the text says {said} {what}, and the instructions make {}",
                            other.as_ref().map_or_else(|| made.to_string(), Clone::clone)
                        ),
                        help: Some(match other {
                            Some(_) => "count them by the name of the stitch that is made, or \
                                        mend the instructions"
                                .to_owned(),
                            None => self.count_help(said, made),
                        }),
                    };
                    self.claim_failed = course.is_some();
                    return Err(Box::new(f));
                }
            }
        }
        Ok(())
    }

    /// A row or round that makes nothing, as "[…] 0 times" does, can only claim what is there.
    pub fn nothing_made(&self, work: &Work) -> Done {
        if self.known != Known::All || self.seam_stitches.is_some() {
            return Ok(());
        }
        let there = self.top.iter().filter(|s| s.is_stitch()).count() as u64;
        for item in work.claims.iter().flat_map(|c| &c.items) {
            let said = self.value(&item.count, item.at)?;
            // By name fewer may be claimed: not all that is there need be of that stitch.
            let wrong = match item.unit {
                Unit::Stitches => said != there,
                Unit::Kind(kind) if kind != Kind::CH && kind != Kind::SL_ST => said > there,
                _ => false,
            };
            if wrong {
                return fault_help(
                    "count-mismatch",
                    item.at.0,
                    format!(
                        "the text says {said} sts, and this line makes none: there are {there}"
                    ),
                    "mend the count, or the instructions",
                );
            }
        }
        Ok(())
    }

    /// What was made, by name, where it is as many stitches as claimed, but others.
    fn other_stitches(&self, item: &ClaimItem, course: Option<usize>, said: u64) -> Option<String> {
        let (total, by_name) = self.counts_of(course?);
        if !matches!(item.unit, Unit::Kind(_)) || total != said {
            return None;
        }
        let each: Vec<String> = by_name.iter().map(|(name, n)| format!("{n} {name}")).collect();
        Some(each.join(", "))
    }

    fn count_help(&self, said: u64, made: u64) -> String {
        let by = said.abs_diff(made);
        let way = if said > made { "too many are claimed" } else { "too few are claimed" };
        format!("{by} {way}: mend the count, or the instructions")
    }

    /// What was made of the unit a claim names; `None` where there is nothing to hold it
    /// against.
    fn measured(
        &self,
        item: &ClaimItem,
        course: Option<usize>,
        first_course: usize,
        alone: bool,
        said: u64,
    ) -> Option<(u64, String)> {
        let Some(course) = course else {
            let sts = matches!(item.unit, Unit::Stitches | Unit::Kind(_) | Unit::Chains);
            if let Some(n) = self.seam_stitches.filter(|_| sts) {
                return Some((n, "sts".to_owned()));
            }
            let foundation = self.fabric.courses.get(first_course)?;
            let chains =
                self.fabric.of(foundation).iter().filter(|s| s.kind == Kind::CH).count() as u64;
            return sts.then(|| (chains, "chs".to_owned()));
        };
        let c = self.fabric.courses.get(course)?;
        Some(match &item.unit {
            Unit::Stitches => (u64::from(c.count), "sts".to_owned()),
            Unit::Kind(kind) if *kind == Kind::CH => (self.chains_of(course), "chs".to_owned()),
            Unit::Kind(kind) if *kind == Kind::SL_ST => {
                let n = self
                    .fabric
                    .of(c)
                    .iter()
                    .filter(|s| s.kind == *kind && s.role == Role::Counted)
                    .count() as u64;
                (n, self.plural_name(*kind))
            }
            Unit::Kind(kind) => {
                let kinds = self.kinds_of(course);
                let exact = kinds.get(kind).copied().unwrap_or(0);
                let family: u64 = kinds
                    .iter()
                    .filter(|(k, _)| super::edge::answers(**k, *kind))
                    .map(|(_, n)| n)
                    .sum();
                let picots = self.picots_of(course);
                if kind.base == Base::Picot {
                    return Some((picots, self.plural_name(*kind)));
                }
                let total = u64::from(c.count);
                let made = if said == exact {
                    exact
                } else if said == family || !alone {
                    family
                } else if (said == total || family == 0) && !other_heights(&kinds, *kind) {
                    // "(24 dc)" after a round of bobbles, or with a few among the dc: the
                    // count of the round.
                    total
                } else {
                    family
                };
                (made, self.plural_name(*kind))
            }
            Unit::Special(i) => {
                let name = self.fabric.specials.get(*i).cloned().unwrap_or_default();
                (self.groups_of(course, *i), name + "s")
            }
            Unit::ChainSpaces(size) => {
                let size = match size {
                    Some(n) => Some(self.value(n, item.at).ok()? as u32),
                    None => None,
                };
                let n = self.spaces_of(course, size);
                let what =
                    size.map_or_else(|| "chain spaces".to_owned(), |n| format!("ch-{n} sps"));
                (n, what)
            }
            Unit::Chains => (self.chains_of(course), "chs".to_owned()),
            Unit::Fans => (self.fans_of(), "groups".to_owned()),
            Unit::Vees => (self.vees_of(), "V-sts".to_owned()),
        })
    }

    fn plural_name(&self, kind: Kind) -> String {
        let name = kind.name(self.piece.terms, &self.fabric.specials);
        if kind == Kind::SL_ST || name.ends_with("cot") { name + "s" } else { name }
    }

    fn chains_of(&self, course: usize) -> u64 {
        let Some(c) = self.fabric.courses.get(course) else { return 0 };
        self.fabric.of(c).iter().filter(|s| s.role == Role::Space).count() as u64
    }

    fn picots_of(&self, course: usize) -> u64 {
        let Some(c) = self.fabric.courses.get(course) else { return 0 };
        self.fabric
            .of(c)
            .iter()
            .filter(|s| s.role == Role::Ornament && s.kind == Kind::SL_ST)
            .count() as u64
    }

    /// Runs of chains that make spaces, of one size or of any.
    fn spaces_of(&self, course: usize, size: Option<u32>) -> u64 {
        if course + 1 == self.fabric.courses.len() {
            let fits =
                |s: &&super::edge::Spot| s.what == What::Space && size.is_none_or(|n| n == s.size);
            return self.top.iter().filter(fits).count() as u64;
        }
        self.fabric.courses.get(course).map_or(0, |c| u64::from(c.spaces))
    }

    fn groups_of(&self, course: usize, special: usize) -> u64 {
        if self.fabric.courses.get(course).is_none() {
            return 0;
        }
        let mut n = 0;
        let mut last = 0;
        for group in self.top.iter().map(|s| s.group) {
            if group != last && self.special_of(group) == Some(special) {
                n += 1;
            }
            last = group;
        }
        n
    }

    /// Stitches of a kind that stand in no group, in the last course.
    fn outside_groups(&self, kind: Kind) -> u64 {
        let fits = |s: &&super::edge::Spot| {
            s.group == 0 && s.is_stitch() && super::edge::answers(s.kind, kind)
        };
        self.top.iter().filter(fits).count() as u64
    }

    /// V-stitches in the last course: a stitch, a chain space and the same stitch in one place.
    fn vees_of(&self) -> u64 {
        let base = |at: u32| self.fabric.stitches.get(at as usize).map(|s| s.base);
        let mut rest = self.top.as_slice();
        let mut n = 0;
        while let [a, gap, b, ..] = rest {
            let vee = a.is_stitch()
                && gap.what == What::Space
                && b.is_stitch()
                && a.kind == b.kind
                && base(a.at) == base(b.at);
            n += u64::from(vee);
            rest = rest.get(if vee { 3 } else { 1 }..).unwrap_or(&[]);
        }
        n
    }

    /// Groups of stitches in one place, in the last course.
    fn fans_of(&self) -> u64 {
        let mut n = 0;
        let mut last = 0;
        for spot in &self.top {
            if spot.group != 0 && spot.group != last {
                n += 1;
            }
            last = spot.group;
        }
        n
    }
}
