//! The booklet's figures for other programs: the size table as CSV, everything as JSON.

use super::Proved;
use super::document::Document;
use crate::diag::Finding;
use crate::quantity::Length;
use serde_json::{Value, json};

/// Centimetres to the tenth, with a point, for other programs.
fn cm(l: Length) -> String {
    format!("{:.1}", l.to_cm())
}

/// Inches to the hundredth.
fn inches(l: Length) -> String {
    format!("{:.2}", l.to_inches())
}

/// The size table: one row a size, lengths in centimetres and inches.
///
/// # Errors
/// A fault `write` should the writer fail.
pub fn size_csv(p: &Proved) -> Result<String, Vec<Finding>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let fault = |e: &dyn std::fmt::Display| {
        vec![Finding::fault("write", format!("the size table cannot be written: {e}"))]
    };
    writer
        .write_record([
            "size",
            "name",
            "head_from_cm",
            "head_to_cm",
            "head_cm",
            "girth_cm",
            "depth_cm",
            "head_from_in",
            "head_to_in",
            "head_in",
            "girth_in",
            "depth_in",
        ])
        .map_err(|e| fault(&e))?;
    for (i, size) in p.design.sizes.iter().enumerate() {
        let heads = [size.head_min, size.head_max, size.head].map(Some);
        let lengths = heads.into_iter().chain([p.girth(i), p.depth(i)]);
        let mut row = vec![size.id.clone(), size.name.clone()];
        row.extend(lengths.clone().map(|l| l.map(cm).unwrap_or_default()));
        row.extend(lengths.map(|l| l.map(inches).unwrap_or_default()));
        writer.write_record(&row).map_err(|e| fault(&e))?;
    }
    let bytes = writer.into_inner().map_err(|e| fault(&e))?;
    String::from_utf8(bytes).map_err(|e| fault(&e))
}

/// Everything: the design's figures size by size, stitch counts line by line, and the
/// document itself.
pub fn json(p: &Proved, document: &Document) -> Value {
    let sizes: Vec<Value> = p
        .design
        .sizes
        .iter()
        .enumerate()
        .map(|(i, size)| {
            let pieces: Vec<Value> = p
                .pieces
                .iter()
                .zip(&p.design.pieces)
                .filter_map(|(piece, part)| {
                    let worked = piece.worked.get(i)?.as_ref()?;
                    let lines: Vec<Value> = worked
                        .lines
                        .iter()
                        .map(|l| {
                            json!({ "line": l.line, "label": l.label, "count": l.count,
                                    "counts": l.counts })
                        })
                        .collect();
                    Some(json!({ "name": part.name.as_str(), "make": part.make,
                                 "lines": lines, "totals": worked.totals }))
                })
                .collect();
            json!({ "id": size.id, "name": size.name, "graded": p.graded.sizes.get(i),
                    "girth_mm": p.girth(i).map(Length::to_mm),
                    "depth_mm": p.depth(i).map(Length::to_mm),
                    "pieces": pieces })
        })
        .collect();
    json!({
        "title": p.design.pattern.title.as_str(),
        "by": p.design.pattern.by.as_str(),
        "edition": p.design.pattern.edition.as_str(),
        "sizes": sizes,
        "document": document,
    })
}
