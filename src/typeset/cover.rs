//! The title page: one full page, the photo as large as the words leave it room.

use super::composer::{Composer, Room, baseline, bound, nodes, spaced};
use super::inline::Style;
use super::page::{Area, Draw, Item, Owner, PictureId, Placed, Tag};
use super::strip::{NEVER, Node, Pin, Strip, pile, stacked};
use super::theme::{MM, Voice};
use crate::booklet::document::{Cover, Inline, Paragraph, ParagraphKind};

/// A photo lower than this shows nothing: the words give way and run over the page.
const PHOTO: f64 = 40.0 * MM;

impl Composer<'_> {
    /// The title page and the page break after it.
    pub fn cover(&mut self, cover: &Cover, room: Room, out: &mut Vec<Node>) {
        let mut above = self.cover_title(cover, room);
        let photo_owner = self.element(Tag::Div, room.parent);
        let mut below = self.cover_about(cover, room);
        below.append(&mut self.cover_facts(cover, room));
        let foot = self.cover_foot(cover, room);

        let height = self.area().height;
        let line = self.theme.body.leading;
        let taken = stacked(&above) + stacked(&below) + foot.height + 4.5 * line;
        let space = height - taken;
        match &cover.photo {
            Some(photo) if space > PHOTO => {
                if let Some((w, h)) = self.figure_size(photo, Room { hang: 0.0, ..room }) {
                    let scale = (space / h).min(room.width / w);
                    let (w, h) = (w * scale, h * scale);
                    let mut strip = Strip { height: h, penalty: NEVER, ..Strip::default() };
                    let area = Area { x: 0.0, y: 0.0, width: w, height: h };
                    self.place_figure(photo, photo_owner, area, &mut strip);
                    above.extend(spaced(vec![strip], line, 1.25 * line));
                }
            }
            Some(photo) => self.figure_under(photo, photo_owner, room, &mut above),
            None => {}
        }
        above.append(&mut below);
        if stacked(&above) + foot.height + line > height {
            above.push(foot);
            out.extend(nodes(above));
        } else {
            let mut whole = pile(above);
            whole.absorb(foot.clone(), 0.0, height - foot.height);
            whole.height = height;
            out.push(Node::Strip(whole));
        }
        out.push(Node::NewPage);
    }

    fn figure_under(
        &mut self,
        photo: &crate::booklet::document::Figure,
        parent: usize,
        room: Room,
        into: &mut Vec<Strip>,
    ) {
        let mut nodes = Vec::new();
        self.figure(photo, room.under(parent), &mut nodes);
        into.extend(nodes.into_iter().filter_map(|n| match n {
            Node::Strip(s) => Some(s),
            _ => None,
        }));
    }

    fn cover_title(&mut self, cover: &Cover, room: Room) -> Vec<Strip> {
        let line = self.theme.body.leading;
        let owner = self.element(Tag::Heading(1), room.parent);
        let style = self.style(Voice::Title, self.theme.title);
        let words = [Inline::Text(cover.title.clone())];
        let mut strips = spaced(bound(self.set(&words, style, owner, room.width)), 0.0, 0.2 * line);
        if let Some(first) = strips.first_mut() {
            first.pins.push(Pin::Chapter(String::new()));
        }
        if !cover.by.is_empty() {
            let owner = self.element(Tag::Paragraph, room.parent);
            let style = Style {
                colour: self.theme.accent,
                ..self.style(Voice::TitleItalic, self.theme.lead)
            };
            let words = [Inline::Text(cover.by.clone())];
            strips.extend(bound(self.set(&words, style, owner, room.width)));
        }
        spaced(strips, 0.0, line)
    }

    fn cover_about(&mut self, cover: &Cover, room: Room) -> Vec<Strip> {
        if cover.about.is_empty() {
            return Vec::new();
        }
        let about = Paragraph { text: cover.about.clone(), kind: ParagraphKind::Lead };
        let strips = self.paragraph(&about, Room { hang: 0.0, ..room });
        spaced(strips, 0.0, self.theme.body.leading)
    }

    /// Short facts: names at the left, what they are beside them.
    fn cover_facts(&mut self, cover: &Cover, room: Room) -> Vec<Strip> {
        let list = self.element(Tag::List, room.parent);
        let style = self.body_style();
        let name_style =
            Style { colour: self.theme.accent, ..self.style(Voice::Strong, self.theme.body) };
        let mut widest: f64 = 0.0;
        for (name, _) in &cover.facts {
            widest = widest.max(self.shaper.width(Voice::Strong, style.measure.size, name));
        }
        let column = (widest + style.measure.size).max(self.theme.hang).min(0.4 * room.width);
        let mut out = Vec::new();
        for (name, text) in &cover.facts {
            let item = self.element(Tag::Item, list);
            let owner = self.element(Tag::ItemLabel, item);
            let words = [Inline::Text(name.clone())];
            let names = self.set(&words, name_style, owner, column - 6.0);
            let owner = self.element(Tag::ItemBody, item);
            let text = self.set(text, style, owner, room.width - column);
            let mut whole = pile(names);
            whole.absorb(pile(text), column, 0.0);
            whole.after = 0.1 * style.measure.leading;
            out.push(whole);
        }
        out
    }

    /// The rights line at the left, the maker's mark at the right.
    fn cover_foot(&mut self, cover: &Cover, room: Room) -> Strip {
        let logo = self.logo_size();
        let width = room.width - logo.map_or(0.0, |(w, _)| w + 6.0 * MM);
        let mut foot = Strip::default();
        if !cover.rights.is_empty() {
            let owner = self.element(Tag::Paragraph, room.parent);
            let style = self.small_style();
            let strips = self.set(&cover.rights, style, owner, width);
            foot = pile(strips);
        }
        if let Some((w, h)) = logo {
            let drop = (h - foot.height).max(0.0);
            foot.shift(0.0, drop);
            foot.height = foot.height.max(h);
            let area = Area { x: room.width - w, y: foot.height - h, width: w, height: h };
            let draw = Draw::Picture(Placed { picture: PictureId::Logo, area });
            foot.items.push(Item { owner: Owner::Ornament, order: 0, clip: None, draw });
        }
        foot.baseline = baseline(self.theme.small);
        foot
    }

    fn logo_size(&mut self) -> Option<(f64, f64)> {
        let facts = self.logo_facts()?;
        let (w, h) = (f64::from(facts.width), f64::from(facts.height));
        let scale = (40.0 * MM / w).min(14.0 * MM / h);
        Some((w * scale, h * scale))
    }
}
