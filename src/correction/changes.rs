//! What a correction changes in a design file, as data that can be turned round.

use super::correct::{GaugeReport, HookReport};
use super::errata::Reading;
use crate::quantity::Length;
use serde::Serialize;

/// What changes.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Changes {
    /// Gauges by name.
    pub gauges: Vec<GaugeChange>,
    /// Hooks by name.
    pub hooks: Vec<HookChange>,
}

/// One gauge's figures over its own length.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GaugeChange {
    /// The gauge's name.
    pub name: String,
    /// Stitches.
    pub sts: Reading<f64>,
    /// Rows.
    pub rows: Reading<f64>,
}

/// One hook's size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HookChange {
    /// The hook's name.
    pub name: String,
    /// Its size.
    pub size: Reading<Length>,
}

impl Changes {
    pub(super) fn of(gauges: &[GaugeReport], hooks: &[HookReport]) -> Changes {
        let gauge = |g: &GaugeReport| GaugeChange {
            name: g.name.clone(),
            sts: Reading { old: g.sts.design, new: g.sts.corrected() },
            rows: Reading { old: g.rows.design, new: g.rows.corrected() },
        };
        let hook = |h: &HookReport| {
            let size = Reading { old: h.design, new: h.change? };
            Some(HookChange { name: h.name.clone(), size })
        };
        Changes {
            gauges: gauges
                .iter()
                .map(gauge)
                .filter(|g| g.sts.old != g.sts.new || g.rows.old != g.rows.new)
                .collect(),
            hooks: hooks.iter().filter_map(hook).collect(),
        }
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        self.gauges.is_empty() && self.hooks.is_empty()
    }

    /// The changes that take these back.
    pub fn inverse(&self) -> Changes {
        let turn = |r: &Reading<f64>| Reading { old: r.new, new: r.old };
        let gauge = |g: &GaugeChange| GaugeChange {
            name: g.name.clone(),
            sts: turn(&g.sts),
            rows: turn(&g.rows),
        };
        let hook = |h: &HookChange| HookChange {
            name: h.name.clone(),
            size: Reading { old: h.size.new, new: h.size.old },
        };
        Changes {
            gauges: self.gauges.iter().map(gauge).collect(),
            hooks: self.hooks.iter().map(hook).collect(),
        }
    }

    /// The changes in one sentence, for the design's history.
    pub fn sentence(&self) -> String {
        let mut parts = Vec::new();
        for g in &self.gauges {
            let both = [("sts", &g.sts), ("rows", &g.rows)];
            let figures: Vec<String> = both
                .iter()
                .filter(|(_, r)| r.old != r.new)
                .map(|(what, r)| format!("{} to {} {what}", r.old, r.new))
                .collect();
            parts.push(format!("gauge {} {}", g.name, figures.join(" and ")));
        }
        for h in &self.hooks {
            let (old, new) = (h.size.old.hook_text(), h.size.new.hook_text());
            parts.push(format!("hook {} {old} to {new}", h.name));
        }
        crate::booklet::words::list_of(&parts)
    }
}
