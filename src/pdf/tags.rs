//! The structure tree: what every mark is, and in which order it is read.

use super::content::Drawn;
use super::file::Small;
use super::object::{
    ascii, dictionary, digits, integer, name, number, put_reference, put_text, real, reference,
    text,
};
use crate::typeset::Pages;
use crate::typeset::page::{Element, Goes, LinkArea, Scope, Tag};
use lopdf::{Dictionary, Document, Object, ObjectId};

/// Objects the catalogue refers to.
pub struct Structure {
    /// The root of the tree.
    pub root: ObjectId,
    /// Annotations of each page.
    pub annotations: Vec<Vec<ObjectId>>,
}

/// One kid of an element.
enum Kid {
    Element(usize),
    Marked { page: usize, number: usize },
    Link { page: usize, object: ObjectId },
}

struct Tree<'p> {
    pages: &'p Pages,
    page_ids: &'p [ObjectId],
    /// Kids in reading order, by element.
    kids: Vec<Vec<(u32, Kid)>>,
    ids: Vec<Option<ObjectId>>,
}

/// Writes the tree with its index, and an annotation for each link.
pub fn write(
    pdf: &mut Document,
    small: &mut Small,
    pages: &Pages,
    drawn: &[Drawn],
    page_ids: &[ObjectId],
) -> Structure {
    let n = pages.elements.len();
    let mut tree = Tree { pages, page_ids, kids: Vec::new(), ids: vec![None; n] };
    tree.kids.resize_with(n, Vec::new);
    tree.marked(drawn);
    let (annotations, parents) = tree.links(pdf);
    tree.nest();
    let root = pdf.new_object_id();
    tree.number(pdf);
    let lists: Vec<ObjectId> = drawn.iter().map(|_| pdf.new_object_id()).collect();
    tree.elements(small, root, drawn, &lists);
    let index = tree.index(pdf, &lists, &parents);
    let next = page_ids.len() + parents.len();
    let top = tree.ids.first().copied().flatten();
    let mut dict = dictionary([
        ("Type", name("StructTreeRoot")),
        ("ParentTree", reference(index)),
        ("ParentTreeNextKey", integer(next)),
    ]);
    if let Some(top) = top {
        dict.set("K", reference(top));
    }
    pdf.objects.insert(root, Object::Dictionary(dict));
    Structure { root, annotations }
}

impl Tree<'_> {
    fn marked(&mut self, drawn: &[Drawn]) {
        for (page, drawn) in drawn.iter().enumerate() {
            for (number, (element, order)) in drawn.marked.iter().enumerate() {
                if let Some(kids) = self.kids.get_mut(*element) {
                    kids.push((*order, Kid::Marked { page, number }));
                }
            }
        }
        // Stable: what one turn puts on two pages stays in the order of the pages.
        self.kids.iter_mut().for_each(|kids| kids.sort_by_key(|(order, _)| *order));
    }

    /// Annotations for links; answers them by page, and the element of each in order.
    fn links(&mut self, pdf: &mut Document) -> (Vec<Vec<ObjectId>>, Vec<usize>) {
        let mut all = Vec::new();
        let mut parents = Vec::new();
        for (page, content) in self.pages.pages.iter().enumerate() {
            let mut here = Vec::new();
            for link in &content.links {
                let key = self.page_ids.len() + parents.len();
                let dict = self.annotation(link, page, key);
                let object = pdf.add_object(dict);
                here.push(object);
                parents.push(link.element);
                if let Some(kids) = self.kids.get_mut(link.element) {
                    kids.push((u32::MAX, Kid::Link { page, object }));
                }
            }
            all.push(here);
        }
        (all, parents)
    }

    fn annotation(&self, link: &LinkArea, page: usize, key: usize) -> Dictionary {
        let (a, h) = (link.area, self.pages.height);
        let rect = [a.x, h - a.y - a.height, a.x + a.width, h - a.y].map(real);
        let mut dict = dictionary([
            ("Type", name("Annot")),
            ("Subtype", name("Link")),
            ("Rect", Object::Array(rect.to_vec())),
            ("Border", Object::Array(vec![0.into(), 0.into(), 0.into()])),
            ("Contents", text(&link.words)),
            // Print it, as PDF/A asks of every annotation.
            ("F", Object::Integer(4)),
            ("StructParent", integer(key)),
        ]);
        if let Some(id) = self.page_ids.get(page) {
            dict.set("P", reference(*id));
        }
        match &link.goes {
            Goes::Uri(uri) => {
                let action = dictionary([("S", name("URI")), ("URI", ascii(&plain_uri(uri)))]);
                dict.set("A", Object::Dictionary(action));
            }
            Goes::Page(to, y) => {
                if let Some(id) = self.page_ids.get(*to) {
                    dict.set("Dest", destination(*id, h - y));
                }
            }
        }
        dict
    }

    /// Puts elements among their parents' kids, without those that hold nothing.
    fn nest(&mut self) {
        let elements = &self.pages.elements;
        let mut first: Vec<Option<u32>> =
            self.kids.iter().map(|kids| kids.first().map(|(order, _)| *order)).collect();
        let mut kept: Vec<bool> = first.iter().map(Option::is_some).collect();
        for (i, element) in elements.iter().enumerate().rev() {
            let cell = matches!(element.tag, Tag::Cell | Tag::HeadCell(_));
            kept[i] = kept[i] || cell || i == 0;
            let Some(parent) = element.parent.filter(|p| kept[i] && *p < i) else { continue };
            kept[parent] = true;
            first[parent] = match (first[parent], first[i]) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
        let words: Vec<bool> = self.kids.iter().map(|kids| !kids.is_empty()).collect();
        for (i, element) in elements.iter().enumerate() {
            let Some(parent) = element.parent.filter(|p| kept[i] && *p < i) else { continue };
            // Among words the first word counts; among blocks the order they were made in.
            let turn = if words[parent] { first[i].unwrap_or(u32::MAX - 1) } else { 0 };
            self.kids[parent].push((turn, Kid::Element(i)));
        }
        self.kids.iter_mut().for_each(|kids| kids.sort_by_key(|(order, _)| *order));
        let last = kept.len().min(self.ids.len());
        for (id, kept) in self.ids.iter_mut().zip(kept).take(last) {
            *id = kept.then_some((0, 0));
        }
    }

    /// Numbers run on among cells, which stand apart from what else there is.
    fn number(&mut self, pdf: &mut Document) {
        let kind = |tag: Tag| match tag {
            Tag::Cell => 1,
            Tag::HeadCell(_) => 2,
            _ => 0,
        };
        for turn in 0..3 {
            let elements = self.ids.iter_mut().zip(&self.pages.elements);
            for (id, _) in elements.filter(|(_, e)| kind(e.tag) == turn) {
                if let Some(id) = id {
                    *id = pdf.new_object_id();
                }
            }
        }
    }

    /// Every element, and after the last one of a page the list that leads from the page's
    /// marks to their elements: near to them, its references pack to little.
    fn elements(&self, small: &mut Small, root: ObjectId, drawn: &[Drawn], lists: &[ObjectId]) {
        let last = |d: &Drawn| d.marked.iter().map(|(element, _)| *element).max().unwrap_or(0);
        let mut due: Vec<(usize, usize)> =
            drawn.iter().enumerate().map(|(page, drawn)| (last(drawn), page)).collect();
        due.sort_unstable();
        let mut due = due.into_iter().peekable();
        for (i, element) in self.pages.elements.iter().enumerate() {
            if let Some(id) = self.id(i) {
                let parent = element.parent.map_or(root, |p| self.id(p).unwrap_or(root));
                let out = match element.tag {
                    Tag::Cell => small.begin_cell(id),
                    Tag::HeadCell(_) => small.begin_head_cell(id),
                    _ => small.begin(id),
                };
                self.element(out, i, element, parent);
            }
            while let Some((_, page)) = due.next_if(|(last, _)| *last <= i) {
                let (Some(list), Some(drawn)) = (lists.get(page), drawn.get(page)) else {
                    continue;
                };
                let out = small.begin(*list);
                out.push(b'[');
                for (element, _) in &drawn.marked {
                    match self.id(*element) {
                        Some(id) => put_reference(out, id),
                        None => out.extend_from_slice(b"null "),
                    }
                }
                out.push(b']');
            }
        }
    }

    fn id(&self, element: usize) -> Option<ObjectId> {
        self.ids.get(element).copied().flatten()
    }

    /// Writes an element straight as it stands in the file: there are thousands.
    fn element(&self, out: &mut Vec<u8>, i: usize, element: &Element, parent: ObjectId) {
        out.extend_from_slice(b"<</S/");
        out.extend_from_slice(tag_name(element.tag).as_bytes());
        out.extend_from_slice(b"/P ");
        put_reference(out, parent);
        let kids = self.kids.get(i).map_or(&[][..], Vec::as_slice);
        let page = kids.iter().find_map(|(_, kid)| match kid {
            Kid::Marked { page, .. } => Some(*page),
            _ => None,
        });
        if let Some(id) = page.and_then(|p| self.page_ids.get(p)) {
            out.extend_from_slice(b"/Pg ");
            put_reference(out, *id);
        }
        match kids {
            [] => {}
            [(_, kid)] => {
                out.extend_from_slice(b"/K ");
                self.kid(out, kid, page);
            }
            kids => {
                out.extend_from_slice(b"/K[");
                kids.iter().for_each(|(_, kid)| self.kid(out, kid, page));
                out.push(b']');
            }
        }
        if let Some(alt) = &element.alt {
            out.extend_from_slice(b"/Alt");
            put_text(out, alt);
        }
        if let Some(expansion) = &element.expansion {
            out.extend_from_slice(b"/E");
            put_text(out, expansion);
        }
        self.attributes(out, element);
        out.extend_from_slice(b">>");
    }

    fn kid(&self, out: &mut Vec<u8>, kid: &Kid, home: Option<usize>) {
        let other = |out: &mut Vec<u8>, kind: &str, page: &usize| {
            out.extend_from_slice(kind.as_bytes());
            if let Some(id) = self.page_ids.get(*page) {
                out.extend_from_slice(b"/Pg ");
                put_reference(out, *id);
            }
        };
        match kid {
            Kid::Element(i) => {
                if let Some(id) = self.id(*i) {
                    put_reference(out, id);
                }
            }
            Kid::Marked { page, number } if Some(*page) == home => {
                digits(out, *number as u64);
                out.push(b' ');
            }
            Kid::Marked { page, number } => {
                other(out, "<</Type/MCR", page);
                out.extend_from_slice(b"/MCID ");
                digits(out, *number as u64);
                out.extend_from_slice(b">>");
            }
            Kid::Link { page, object } => {
                other(out, "<</Type/OBJR", page);
                out.extend_from_slice(b"/Obj ");
                put_reference(out, *object);
                out.extend_from_slice(b">>");
            }
        }
    }

    fn attributes(&self, out: &mut Vec<u8>, element: &Element) {
        match element.tag {
            Tag::HeadCell(_) | Tag::Cell => {
                let scope = match element.tag {
                    Tag::HeadCell(Scope::Row) => "/Scope/Row",
                    Tag::HeadCell(Scope::Column) => "/Scope/Column",
                    _ if element.span > 1 => "",
                    _ => return,
                };
                out.extend_from_slice(b"/A<</O/Table");
                out.extend_from_slice(scope.as_bytes());
                if element.span > 1 {
                    out.extend_from_slice(b"/ColSpan ");
                    digits(out, u64::from(element.span));
                }
                out.extend_from_slice(b">>");
            }
            Tag::Figure => {
                let Some((_, a)) = element.place else { return };
                let h = self.pages.height;
                let sides = [a.x, h - a.y - a.height, a.x + a.width, h - a.y];
                out.extend_from_slice(b"/A<</O/Layout/Placement/Block/BBox[");
                for side in sides {
                    number(out, side);
                    out.push(b' ');
                }
                out.extend_from_slice(b"]>>");
            }
            Tag::List => out.extend_from_slice(b"/A<</O/List/ListNumbering/None>>"),
            _ => {}
        }
    }

    /// The way back from marks to elements: pages first, then links.
    fn index(&self, pdf: &mut Document, lists: &[ObjectId], parents: &[usize]) -> ObjectId {
        let mut numbers = Vec::new();
        for (page, list) in lists.iter().enumerate() {
            numbers.extend([integer(page), reference(*list)]);
        }
        for (i, element) in parents.iter().enumerate() {
            let id = self.id(*element).map_or(Object::Null, reference);
            numbers.extend([integer(self.page_ids.len() + i), id]);
        }
        pdf.add_object(dictionary([("Nums", Object::Array(numbers))]))
    }
}

/// The page `id` with this height (from its foot) at the top of the window.
pub fn destination(id: ObjectId, top: f64) -> Object {
    Object::Array(vec![reference(id), name("XYZ"), Object::Null, real(top), Object::Null])
}

/// Addresses are ASCII in a PDF: everything else is percent-encoded.
fn plain_uri(uri: &str) -> String {
    let mut out = String::new();
    for byte in uri.bytes() {
        if (0x21..0x7f).contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

fn tag_name(tag: Tag) -> &'static str {
    match tag {
        Tag::Document => "Document",
        Tag::Sect => "Sect",
        Tag::Div => "Div",
        Tag::Heading(level) => {
            let names = ["H1", "H2", "H3", "H4", "H5", "H6"];
            names[usize::from(level.clamp(1, 6)) - 1]
        }
        Tag::Paragraph => "P",
        Tag::List => "L",
        Tag::Item => "LI",
        Tag::ItemLabel => "Lbl",
        Tag::ItemBody => "LBody",
        Tag::Table => "Table",
        Tag::TableHead => "THead",
        Tag::TableBody => "TBody",
        Tag::Row => "TR",
        Tag::HeadCell(_) => "TH",
        Tag::Cell => "TD",
        Tag::Caption => "Caption",
        Tag::Figure => "Figure",
        Tag::Span => "Span",
        Tag::Link => "Link",
        Tag::Contents => "TOC",
        Tag::ContentsItem => "TOCI",
        Tag::Reference => "Reference",
    }
}
