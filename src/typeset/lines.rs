//! From fragments to lines: the whole paragraph is weighed at once.

use super::composer::Composer;
use super::inline::{Fragment, Piece, Style};
use super::page::{Area, Draw, Goes, Item, LinkArea, Owner, Run};
use std::rc::Rc;
use textwrap::wrap_algorithms::{Penalties, wrap_first_fit, wrap_optimal_fit};

/// One line of words.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// Words with their distance from the line's beginning, in points.
    pub pieces: Vec<(f64, Piece)>,
    /// Width of the words, in points.
    pub width: f64,
    /// The space the line ended at: kept for who copies or hears the text.
    pub space: Option<Piece>,
}

/// What is drawn of a line, and where it may be pressed.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// Words.
    pub items: Vec<Item>,
    /// Links; where they go is settled when all pages stand.
    pub links: Vec<LinkArea>,
}

/// Words at least this long may be hyphenated.
const LONG_WORD: usize = 7;

impl Composer<'_> {
    /// Breaks fragments into lines no wider than `width`.
    pub fn break_lines(&mut self, fragments: Vec<Fragment>, size: f64, width: f64) -> Vec<Line> {
        let mut fragments = fragments;
        if fragments.iter().any(|f| f.width > width) {
            fragments = fragments.into_iter().flat_map(|f| self.cut(f, size, width)).collect();
        }
        let whole = lay(&fragments, width);
        let chosen = if ragged(&whole, &fragments, width) {
            let cut: Vec<Fragment> =
                fragments.iter().cloned().flat_map(|f| self.hyphenated(f, size)).collect();
            if cut.len() == fragments.len() {
                whole
            } else {
                let better = lay(&cut, width);
                fragments = cut;
                better
            }
        } else {
            whole
        };
        let mut rest = fragments.into_iter();
        chosen.iter().map(|n| self.line(rest.by_ref().take(*n), size)).collect()
    }

    fn line(&mut self, fragments: impl Iterator<Item = Fragment>, size: f64) -> Line {
        let mut line = Line::default();
        let mut x = 0.0;
        let mut hyphen = None;
        for fragment in fragments {
            if let Some(space) = line.space.take() {
                line.pieces.push((x, space.clone()));
                x += space.shaped.ems * size;
            }
            for piece in fragment.pieces {
                let ems = piece.shaped.ems;
                line.pieces.push((x, piece));
                x += ems * size;
            }
            line.width = x;
            line.space = fragment.space;
            hyphen = (fragment.hyphen_width > 0.0).then_some(fragment.hyphen_width);
        }
        if let (Some(width), Some((_, last))) = (hyphen, line.pieces.last().cloned()) {
            let shaped = self.shaper.shape(last.voice, "-");
            line.pieces.push((x, Piece { shaped, ..last }));
            line.width = x + width;
        }
        line
    }

    /// Cuts a fragment that no line can hold: at its spaces, then by syllables, then anywhere.
    fn cut(&mut self, fragment: Fragment, size: f64, width: f64) -> Vec<Fragment> {
        if fragment.width <= width {
            return vec![fragment];
        }
        let by_space = self.split(&fragment, size, |text| {
            text.char_indices().filter(|(_, c)| *c == ' ').map(|(i, _)| (i + 1, false)).collect()
        });
        let by_syllable = by_space
            .into_iter()
            .flat_map(|f| if f.width <= width { vec![f] } else { self.split(&f, size, syllables) });
        let by_syllable: Vec<Fragment> = by_syllable.collect();
        let by_letter = by_syllable.into_iter().flat_map(|f| {
            if f.width <= width {
                return vec![f];
            }
            self.split(&f, size, |text| {
                text.char_indices().skip(1).map(|(i, _)| (i, false)).collect()
            })
        });
        by_letter.collect()
    }

    fn hyphenated(&mut self, fragment: Fragment, size: f64) -> Vec<Fragment> {
        let long = |p: &Piece| p.shaped.text.chars().filter(|c| c.is_alphabetic()).count();
        if fragment.pieces.len() != 1 || fragment.pieces.first().map_or(0, long) < LONG_WORD {
            return vec![fragment];
        }
        self.split(&fragment, size, syllables)
    }

    /// Splits each piece at the bytes `at` names; `true` asks for a hyphen there.
    fn split(
        &mut self,
        fragment: &Fragment,
        size: f64,
        at: impl Fn(&str) -> Vec<(usize, bool)>,
    ) -> Vec<Fragment> {
        let mut out = vec![Fragment::default()];
        for piece in &fragment.pieces {
            let text = piece.shaped.text.as_str();
            let cuts = at(text);
            let mut start = 0;
            for (end, hyphen) in cuts.into_iter().chain([(text.len(), false)]) {
                let Some(part) = text.get(start..end).filter(|p| !p.is_empty()) else { continue };
                let shaped = self.shaper.shape(piece.voice, part.trim_end_matches(' '));
                let Some(last) = out.last_mut() else { continue };
                last.width += shaped.ems * size;
                last.pieces.push(Piece { shaped, ..piece.clone() });
                if part.ends_with(' ') {
                    let space = self.shaper.shape(piece.voice, " ");
                    last.space_width = space.ems * size;
                    last.space = Some(Piece { shaped: space, ..piece.clone() });
                }
                if hyphen {
                    last.hyphen_width = self.shaper.shape(piece.voice, "-").ems * size;
                }
                // A space that closes a piece parts it from the next piece, too.
                if end < text.len() || part.ends_with(' ') {
                    out.push(Fragment::default());
                }
                start = end;
            }
        }
        if out.len() > 1 && out.last().is_some_and(|f| f.pieces.is_empty()) {
            out.pop();
        }
        if let Some(last) = out.last_mut() {
            last.space = fragment.space.clone();
            last.space_width = fragment.space_width;
            last.hyphen_width = fragment.hyphen_width;
            last.ends_line = fragment.ends_line;
        }
        out
    }

    /// Draws a line with its beginning at `x` and its baseline at `y`.
    pub fn draw(&self, line: &Line, style: Style, x: f64, y: f64, more: bool) -> Drawn {
        let mut drawn = Drawn::default();
        let size = style.measure.size;
        for (dx, piece) in &line.pieces {
            self.add(&mut drawn, piece, size, (x + dx, y));
        }
        if let (true, Some(space)) = (more, &line.space)
            && let Some(Item { owner: Owner::Element(owner), draw: Draw::Text(run), .. }) =
                drawn.items.last_mut()
            && *owner == space.owner
            && run.face == space.voice as usize
        {
            run.text.push(' ');
            run.glyphs.extend_from_slice(&space.shaped.glyphs);
        }
        drawn
    }

    fn add(&self, drawn: &mut Drawn, piece: &Piece, size: f64, at: (f64, f64)) {
        let width = piece.shaped.ems * size;
        if let Some(element) = piece.link {
            let area = Area { x: at.0, y: at.1 - 0.8 * size, width, height: 1.1 * size };
            match drawn.links.last_mut() {
                Some(last) if last.element == element => last.area = last.area.with(area),
                _ => {
                    let words = self.goes.get(&element).map_or("", |(_, words)| words).to_string();
                    let goes = Goes::Uri(String::new());
                    drawn.links.push(LinkArea { area, goes, words, element });
                }
            }
        }
        if let Some(Item { owner: Owner::Element(owner), draw: Draw::Text(run), .. }) =
            drawn.items.last_mut()
            && *owner == piece.owner
            && run.face == piece.voice as usize
            && run.colour == piece.colour
            && (run.at.0 + run.width - at.0).abs() < 1e-6
        {
            run.text.push_str(&piece.shaped.text);
            run.glyphs.extend_from_slice(&piece.shaped.glyphs);
            run.width += width;
            return;
        }
        drawn.items.push(text_item(piece, size, at));
    }
}

/// A mark of one piece of words.
pub fn text_item(piece: &Piece, size: f64, at: (f64, f64)) -> Item {
    let shaped = Rc::clone(&piece.shaped);
    let run = Run {
        face: piece.voice as usize,
        size,
        at,
        turn: 0.0,
        colour: piece.colour,
        text: shaped.text.clone(),
        glyphs: shaped.glyphs.clone(),
        width: shaped.ems * size,
    };
    Item {
        owner: Owner::Element(piece.owner),
        order: piece.order,
        clip: None,
        draw: Draw::Text(run),
    }
}

/// Where an English word may be parted with a hyphen.
fn syllables(word: &str) -> Vec<(usize, bool)> {
    let core = word.trim_matches(|c: char| !c.is_alphabetic());
    // The patterns know no longer words; nor does English.
    if core.len() < LONG_WORD || core.len() > 40 || !core.chars().all(char::is_alphabetic) {
        return Vec::new();
    }
    let lead = word.find(core).unwrap_or(0);
    let parts: Vec<&str> = hypher::hyphenate(core, hypher::Lang::English).collect();
    let mut at = lead;
    let mut cuts = Vec::new();
    for part in parts.iter().take(parts.len().saturating_sub(1)) {
        at += part.len();
        // Two letters before, three after: common practice, no source.
        if at - lead >= 2 && lead + core.len() - at >= 3 {
            cuts.push((at, true));
        }
    }
    cuts
}

/// How many fragments stand on each line.
fn lay(fragments: &[Fragment], width: f64) -> Vec<usize> {
    let mut counts = Vec::new();
    let wide = width + 0.01;
    for part in fragments.split_inclusive(|f| f.ends_line) {
        // Costs are squared gaps in points: a line more costs as a gap of half the width.
        let penalties = Penalties {
            nline_penalty: (width * width / 4.0) as usize,
            // Never worth it: what cannot fit was cut before.
            overflow_penalty: (10_000.0 * width * width) as usize,
            short_last_line_fraction: 8,
            short_last_line_penalty: (width * width / 100.0) as usize,
            hyphen_penalty: (width * width / 40.0) as usize,
        };
        let lines = wrap_optimal_fit(part, &[wide], &penalties)
            .unwrap_or_else(|_| wrap_first_fit(part, &[wide]));
        counts.extend(lines.iter().map(|line| line.len()));
    }
    counts
}

/// Whether any line but a closing one is left more than two fifths empty.
fn ragged(counts: &[usize], fragments: &[Fragment], width: f64) -> bool {
    let mut rest = fragments;
    for (i, n) in counts.iter().enumerate() {
        let (line, after) = rest.split_at((*n).min(rest.len()));
        rest = after;
        let filled: f64 = line.iter().map(|f| f.width + f.space_width).sum();
        let closing = i + 1 == counts.len() || line.last().is_some_and(|f| f.ends_line);
        if !closing && filled < 0.6 * width {
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::syllables;

    #[test]
    fn words_part_between_letters_and_never_near_their_ends() {
        for word in [
            "circumference",
            "na\u{ef}vet\u{e9}s-like",
            "\u{e9}\u{e8}\u{ea}lementary",
            "(notwithstanding,",
        ] {
            for (at, _) in syllables(word) {
                assert!(word.is_char_boundary(at), "{word} at {at}");
                assert!(at >= 2 && word.len() - at >= 3, "{word} at {at}");
            }
        }
        assert!(!syllables("circumference").is_empty());
        assert!(syllables(&"long".repeat(50)).is_empty());
    }
}
