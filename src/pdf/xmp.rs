//! The metadata packet.

use super::finish::Facts;

/// An XMP packet that names both standards.
pub fn packet(facts: &Facts) -> Vec<u8> {
    let mut about = String::new();
    about.push_str(&format!(
        "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:title>\n",
        escaped(&facts.title)
    ));
    if !facts.author.is_empty() {
        about.push_str(&format!(
            "<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n",
            escaped(&facts.author)
        ));
    }
    if !facts.subject.is_empty() {
        about.push_str(&format!(
            "<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:description>\n",
            escaped(&facts.subject)
        ));
    }
    about.push_str(&format!(
        "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n",
        escaped(&facts.language)
    ));
    if !facts.keywords.is_empty() {
        about.push_str(&format!("<pdf:Keywords>{}</pdf:Keywords>\n", escaped(&facts.keywords)));
    }
    let date = &facts.iso_date;
    about.push_str(&format!(
        "<xmp:CreateDate>{date}</xmp:CreateDate>\n<xmp:ModifyDate>{date}</xmp:ModifyDate>\n\
         <xmp:CreatorTool>{0}</xmp:CreatorTool>\n\
         <pdf:Producer>{0}</pdf:Producer>\n",
        escaped(&facts.producer)
    ));
    let spaces = [
        ("dc", "http://purl.org/dc/elements/1.1/"),
        ("xmp", "http://ns.adobe.com/xap/1.0/"),
        ("pdf", "http://ns.adobe.com/pdf/1.3/"),
        ("pdfaid", "http://www.aiim.org/pdfa/ns/id/"),
        ("pdfuaid", "http://www.aiim.org/pdfua/ns/id/"),
        ("pdfaExtension", "http://www.aiim.org/pdfa/ns/extension/"),
        ("pdfaSchema", "http://www.aiim.org/pdfa/ns/schema#"),
        ("pdfaProperty", "http://www.aiim.org/pdfa/ns/property#"),
    ]
    .map(|(prefix, uri)| format!(" xmlns:{prefix}=\"{uri}\""))
    .concat();
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\"{spaces}>\n{about}\
         <pdfaid:part>2</pdfaid:part>\n<pdfaid:conformance>A</pdfaid:conformance>\n\
         <pdfuaid:part>1</pdfuaid:part>\n{EXTENSION}\
         </rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"w\"?>"
    )
    .into_bytes()
}

/// PDF/A asks that properties it does not know be described: here the mark of PDF/UA.
const EXTENSION: &str = "<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType=\"Resource\">\n\
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>\n\
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>\n\
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>\n\
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType=\"Resource\">\n\
<pdfaProperty:name>part</pdfaProperty:name>\n\
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>\n\
<pdfaProperty:category>internal</pdfaProperty:category>\n\
<pdfaProperty:description>Part of ISO 14289</pdfaProperty:description>\n\
</rdf:li></rdf:Seq></pdfaSchema:property>\n\
</rdf:li></rdf:Bag></pdfaExtension:schemas>\n";

fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
