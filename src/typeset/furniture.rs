//! Running heads and feet, and the numbers in the contents list.

use super::colour::Colour;
use super::composer::{Composer, baseline};
use super::page::{Draw, Item, Owner, Page, Run};
use super::theme::{MM, Voice};

/// Where a line of furniture stands.
enum End {
    Left,
    Right,
}

/// A line of furniture.
struct Say<'s> {
    words: &'s str,
    voice: Voice,
    owner: Owner,
    end: End,
    y: f64,
}

impl Composer<'_> {
    /// Heads and feet for all pages. `chapters` names the chapter each page stands in.
    pub fn furnish(&mut self, pages: &mut [Page], chapters: &[String], cover: bool) {
        let area = self.area();
        let theme = self.theme;
        let foot_words = theme.footer.clone().unwrap_or_else(|| self.doc.meta.running_foot.clone());
        let title = self.doc.meta.running_title.clone();
        let y = baseline(theme.furniture);
        let head_y = (area.y - theme.furniture.leading - 5.0 * MM).max(6.0 * MM) + y;
        let foot_y = self.foot_line();
        for (i, page) in pages.iter_mut().enumerate() {
            if i > 0 {
                let chapter = chapters.get(i).map_or("", String::as_str);
                let (voice, owner) = (Voice::TitleItalic, Owner::Head);
                let used = self.say(
                    page,
                    Say { words: &title, voice, owner, end: End::Left, y: head_y },
                    area.width * 0.6,
                );
                let left = area.width - used - 12.0;
                if chapter != title {
                    let say = Say { words: chapter, voice, owner, end: End::Right, y: head_y };
                    self.say(page, say, left);
                }
            }
            if i > 0 || !cover {
                let number = (i + 1).to_string();
                let (voice, owner) = (Voice::Text, Owner::Foot);
                let say = Say { words: &number, voice, owner, end: End::Right, y: foot_y };
                let used = self.say(page, say, area.width);
                let say = Say { words: &foot_words, voice, owner, end: End::Left, y: foot_y };
                self.say(page, say, area.width - used - 12.0);
            }
        }
    }

    /// The baseline of the running foot.
    fn foot_line(&self) -> f64 {
        let (area, theme) = (self.area(), self.theme);
        area.y
            + area.height
            + (theme.margins.bottom * 0.42).max(4.0 * MM)
            + baseline(theme.furniture)
            - theme.furniture.leading / 2.0
    }

    /// How far a page's text may reach below its area without coming near the running foot:
    /// at most a line.
    pub fn spare_below(&self) -> f64 {
        let area = self.area();
        let top = self.foot_line() - self.theme.furniture.size;
        let room = top - (area.y + area.height) - 0.6 * self.theme.body.size;
        room.clamp(0.0, self.theme.body.leading)
    }

    /// Puts words at one end of a line, cut short if they are wider than `room`.
    fn say(&mut self, page: &mut Page, say: Say, room: f64) -> f64 {
        let size = self.theme.furniture.size;
        let mut words: String = say
            .words
            .chars()
            .map(|c| if c.is_whitespace() || c == '\u{a0}' { ' ' } else { c })
            .filter(|c| !c.is_control())
            .collect();
        let mut width = self.shaper.width(say.voice, size, &words);
        while width > room && words.chars().count() > 1 {
            let kept = words.chars().count() - 2;
            words =
                words.chars().take(kept).collect::<String>().trim_end().to_string() + "\u{2026}";
            width = self.shaper.width(say.voice, size, &words);
        }
        if words.trim().is_empty() {
            return 0.0;
        }
        let area = self.area();
        let x = match say.end {
            End::Left => area.x,
            End::Right => area.x + area.width - width,
        };
        let colour = self.theme.quiet;
        for run in self.runs(&words, say.voice, size, colour, (x, say.y)) {
            page.items.push(Item { owner: say.owner, order: 0, clip: None, draw: Draw::Text(run) });
        }
        width
    }

    fn runs(
        &mut self,
        words: &str,
        voice: Voice,
        size: f64,
        colour: Colour,
        at: (f64, f64),
    ) -> Vec<Run> {
        let mut x = at.0;
        let mut runs = Vec::new();
        for (voice, part) in self.shaper.by_face(voice, words) {
            let shaped = self.shaper.shape(voice, part);
            let width = shaped.ems * size;
            runs.push(Run {
                face: voice as usize,
                size,
                at: (x, at.1),
                turn: 0.0,
                colour,
                text: shaped.text.clone(),
                glyphs: shaped.glyphs.clone(),
                width,
            });
            x += width;
        }
        runs
    }

    /// A page number in the contents list, ending at `right`.
    pub fn page_number(
        &mut self,
        number: usize,
        right: f64,
        y: f64,
        owner: Owner,
        order: u32,
    ) -> Vec<Item> {
        let words = number.to_string();
        let size = self.theme.body.size;
        let width = self.shaper.width(Voice::Text, size, &words);
        let colour = self.theme.ink;
        let runs = self.runs(&words, Voice::Text, size, colour, (right - width, y));
        runs.into_iter().map(|r| Item { owner, order, clip: None, draw: Draw::Text(r) }).collect()
    }
}
