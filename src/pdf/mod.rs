//! The printed file: positioned pages come in, the bytes of a PDF go out.
//!
//! Every file is made to PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2): a structure
//! tree over all words and figures, everything else marked as artifact, fonts embedded,
//! colours given a meaning by an output intent. Same pages, same bytes.
//!
//! Steps, in order: [`content`] writes what each page draws ([`way`] its lines), [`fonts`] embeds the glyphs
//! in use, [`pictures`] the photos, [`tags`] the structure, [`finish`] what catalogues and
//! readers need; [`deflate`] packs it, and [`file`] writes it down.

mod content;
mod deflate;
mod file;
mod finish;
mod font_file;
mod fonts;
mod icc;
mod object;
mod pictures;
mod png_colour;
mod tags;
mod unicode;
mod way;
mod xmp;

use crate::booklet::document::Document;
use crate::diag::{Finding, any_fault};
use crate::typeset::Pages;
use content::Drawn;
use deflate::Packer;
use file::{Small, Whole};
use lopdf::{Object, ObjectId};
use object::name;
use pictures::Pictures;

/// Writes pages as a PDF.
///
/// # Errors
/// Faults: `picture` (broken, or in colours that cannot be printed reliably), `font`.
pub fn write(pages: &Pages, document: &Document) -> Result<Vec<u8>, Vec<Finding>> {
    let mut findings = Vec::new();
    let fonts = fonts::Fonts::gather(pages);
    let pictures = Pictures::gather(pages, document, &mut findings);
    let draw = |page| content::draw(page, pages.height, &fonts, &pictures);
    let drawn: Vec<Drawn> = pages.pages.iter().map(draw).collect();
    // Packing the pages takes about as long as all that is left to do: two cores share it.
    std::thread::scope(|scope| {
        let contents = scope.spawn(|| deflate::contents(&drawn));
        let mut pdf = fonts.skeleton(pages, &document.meta.title)?;
        let page_ids: Vec<ObjectId> = pdf.get_pages().values().copied().collect();
        let mut whole = Vec::new();
        let resources = resources(&mut pdf, pictures, &page_ids, &mut whole, &mut findings);
        if any_fault(&findings) {
            return Err(findings);
        }
        fonts.exact(&mut pdf, resources.fonts);
        let mut small = Small::default();
        let structure = tags::write(&mut pdf, &mut small, pages, &drawn, &page_ids);
        finish::write(&mut pdf, pages, document, &drawn, &page_ids, structure);
        let mut packer = Packer::new();
        packer.all(&mut pdf);
        let Ok(contents) = contents.join() else {
            return Err(vec![Finding::fault("internal", "the pages were not packed")]);
        };
        finish::contents(&mut pdf, &page_ids, contents);
        Ok(file::write(&pdf, small, &whole, &mut packer))
    })
}

struct Resources {
    fonts: Option<ObjectId>,
}

/// Puts the pictures where every page finds them.
fn resources<'p>(
    pdf: &mut lopdf::Document,
    pictures: Pictures<'p>,
    page_ids: &[ObjectId],
    whole: &mut Vec<Whole<'p>>,
    findings: &mut Vec<Finding>,
) -> Resources {
    let shared = |pdf: &lopdf::Document, what: &[u8]| -> Option<ObjectId> {
        let page = pdf.get_object(*page_ids.first()?).ok()?.as_dict().ok()?;
        let id = page.get(b"Resources").ok()?.as_reference().ok()?;
        let all = pdf.get_object(id).ok()?.as_dict().ok()?;
        all.get(what).ok()?.as_reference().ok()
    };
    let fonts = shared(pdf, b"Font");
    let xobjects = shared(pdf, b"XObject");
    let pictures = pictures.write(pdf, whole, findings);
    if let Some(Object::Dictionary(all)) = xobjects.and_then(|id| pdf.objects.get_mut(&id)) {
        for (key, id) in pictures {
            all.set(key, Object::Reference(id));
        }
    }
    for id in page_ids {
        if let Some(Object::Dictionary(page)) = pdf.objects.get_mut(id) {
            page.set("Tabs", name("S"));
        }
    }
    Resources { fonts }
}
