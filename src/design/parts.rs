//! The parts of a design file, one reader for each table.

use super::model::*;
use super::walk::{Item, Reader, Table};
use crate::diag::Finding;
use crate::diag::nearest::nearest;
use crate::quantity::{Length, Units};
use crate::standards::{levels, safety};

/// The pattern, and the unit system where it is named.
pub(super) fn pattern<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<(Pattern, Option<Units>)> {
    let mut t = r.table(item, "pattern")?;
    let title = r.need(&mut t, "title", "\"Quarry Lane\"", Reader::some_text);
    let by = r.need(&mut t, "by", "\"Gull & Bobbin\"", Reader::some_text);
    let edition = r.need(&mut t, "edition", "\"1.0\"", Reader::some_text);
    let date = r.opt(&mut t, "date", Reader::date);
    let skill = r.opt(&mut t, "skill", skill);
    let about = r.opt(&mut t, "about", Reader::text);
    let photo = r.opt(&mut t, "photo", Reader::some_text);
    let alt = r.opt(&mut t, "alt", Reader::some_text);
    let rights = r.opt(&mut t, "rights", Reader::text);
    let contact = r.opt(&mut t, "contact", Reader::text);
    let video = r.opt(&mut t, "video", video);
    let units = r.opt(&mut t, "units", units);
    if let (Some(photo), None) = (&photo, &alt) {
        let finding =
            Finding::caution("no-alt", "the photo has no words for those who cannot see it")
                .at(photo.place, "no `alt` with it")
                .help("add `alt = \"…\"`: what the picture shows, in a sentence");
        r.fault(finding);
    }
    r.close(t);
    let pattern = Pattern {
        title: title?,
        by: by?,
        edition: edition?,
        date,
        skill,
        about,
        photo,
        alt,
        rights,
        contact,
        video,
        units: Units::default(),
    };
    Some((pattern, units))
}

/// One of a few words; any other is a fault that names the nearest.
pub(super) fn choice<'a>(
    r: &mut Reader<'a>,
    item: Item<'a>,
    words: &[&str],
) -> Option<Placed<String>> {
    let word = r.word(item)?;
    let same = words.iter().find(|w| w.eq_ignore_ascii_case(&word.value));
    if let Some(same) = same {
        return Some(Placed { value: (*same).to_owned(), place: word.place });
    }
    let likely = nearest(&word.value, words.iter().copied());
    let here = likely.map_or(String::new(), |l| format!("perhaps \"{l}\"?"));
    let message = format!("`{}` cannot be \"{}\"", item.key, word.value);
    let help = format!("write one of {}", words.join(", "));
    r.fault(Finding::fault("unknown-word", message).at(word.place, here).help(help));
    None
}

fn skill<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Placed<String>> {
    let names: Vec<&str> = levels::levels().rows.iter().map(|l| l.name.as_str()).collect();
    choice(r, item, &names)
}

fn units<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Units> {
    let word = choice(r, item, &["metric", "imperial"])?;
    Some(if word.value == "imperial" { Units::Imperial } else { Units::Metric })
}

fn video<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Video> {
    let mut t = r.table(item, "pattern.video")?;
    let url = r.need(&mut t, "url", "\"https://example.org/quarry-lane\"", Reader::some_text);
    let chapters = r.opt(&mut t, "chapters", chapters).unwrap_or_default();
    r.close(t);
    Some(Video { url: url?, chapters })
}

fn chapters<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Vec<Chapter>> {
    let mut t = r.table(item, "pattern.video.chapters")?;
    let entries = t.take_all();
    let read = |i: Item<'a>| {
        let clock = r.text(i)?;
        match seconds(&clock.text) {
            Some(seconds) => Some(Chapter { label: i.key.to_owned(), seconds, place: i.place }),
            None => {
                let message = format!("\"{}\" is no time in a video", clock.text);
                let finding = Finding::fault("bad-time", message)
                    .at(i.place, "")
                    .help("write minutes and seconds like \"3:10\", or \"1:02:30\"");
                r.fault(finding);
                None
            }
        }
    };
    Some(entries.into_iter().filter_map(read).collect())
}

fn seconds(clock: &str) -> Option<u32> {
    let fields: Vec<&str> = clock.trim().split(':').collect();
    if !(2..=3).contains(&fields.len()) {
        return None;
    }
    let mut total: u32 = 0;
    for (i, field) in fields.iter().enumerate() {
        let plain =
            !field.is_empty() && field.len() <= 3 && field.bytes().all(|b| b.is_ascii_digit());
        let n: u32 = field.parse().ok().filter(|n| plain && (i == 0 || *n < 60))?;
        total = total * 60 + n;
    }
    Some(total)
}

pub(super) fn yarn<'a>(r: &mut Reader<'a>, mut t: Table<'a>) -> Option<Yarn> {
    let name = r.need(&mut t, "name", "\"A\"", Reader::some_text);
    let about = r.opt(&mut t, "about", Reader::text);
    let weight = r.opt(&mut t, "weight", |r, i| r.whole(i, 0, 7));
    let ball = r.opt(&mut t, "ball", |r, i| {
        let mut ball = r.table(i, "yarn.ball")?;
        let mass = r.opt(&mut ball, "mass", Reader::mass);
        let length = r.opt(&mut ball, "length", Reader::extent);
        r.close(ball);
        Some((mass, length))
    });
    let (ball_mass, ball_length) = ball.unwrap_or_default();
    let balls_to_use = r.opt(&mut t, "balls_to_use", Reader::positive);
    let colour = r.opt(&mut t, "colour", Reader::text);
    let margin = r.opt(&mut t, "margin", |r, i| share(r, i, 0.0, 100.0));
    let place = t.place;
    r.close(t);
    Some(Yarn {
        name: name?,
        about,
        weight: weight.map(|w| Placed { value: w.value as u8, place: w.place }),
        ball_mass,
        ball_length,
        balls_to_use,
        colour,
        margin,
        place,
    })
}

/// A percentage within bounds.
fn share<'a>(
    r: &mut Reader<'a>,
    item: Item<'a>,
    low: f64,
    high: f64,
) -> Option<Placed<crate::quantity::Percent>> {
    let p = r.percent(item)?;
    if (low..=high).contains(&p.value.value()) {
        return Some(p);
    }
    r.bad_number(item, &format!("from {low} % to {high} %"))
}

pub(super) fn hooks<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Vec<Hook>> {
    let mut t = r.table(item, "hook")?;
    let entries = t.take_all();
    let read = |i: Item<'a>| {
        let size = r.extent(i)?;
        // A hook thinner than 0.5 mm or thicker than 50 mm is a slip of the unit.
        if size.value < Length::mm(0.5) || size.value > Length::mm(50.0) {
            return r.bad_number(i, "from 0.5 mm to 50 mm");
        }
        Some(Hook { name: i.key.to_owned(), size: size.value, place: i.place })
    };
    let count = entries.len();
    let hooks: Vec<Hook> = entries.into_iter().filter_map(read).collect();
    if hooks.len() < count {
        r.doubtful.push("hook");
    }
    Some(hooks)
}

pub(super) fn materials<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Materials> {
    let mut t = r.table(item, "materials")?;
    let notions = r.opt(&mut t, "notions", Reader::texts).unwrap_or_default();
    let trims = r.opt(&mut t, "trims", |r, i| {
        let items = r.list(i, "a list of trims")?;
        let known = safety::trims();
        Some(items.into_iter().filter_map(|i| choice(r, i, &known)).collect())
    });
    let covers_neck = r.opt(&mut t, "covers_neck", Reader::flag).unwrap_or(false);
    r.close(t);
    Some(Materials { notions, trims: trims.unwrap_or_default(), covers_neck })
}

/// The gauges that read, and the names of all.
pub(super) struct Gauges {
    pub list: Vec<Gauge>,
    pub names: Vec<String>,
}

pub(super) fn gauges<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Gauges> {
    let mut t = r.table(item, "gauge")?;
    let entries = t.take_all();
    if entries.is_empty() {
        r.missing(&t, "body", "{ sts = 12, rows = 10, over = \"10 cm\" }");
    }
    let names: Vec<String> = entries.iter().map(|i| i.key.to_owned()).collect();
    let list: Vec<Gauge> = entries.into_iter().filter_map(|i| gauge(r, i)).collect();
    if list.len() < names.len() {
        r.doubtful.push("gauge");
    }
    Some(Gauges { list, names })
}

fn gauge<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Gauge> {
    r.name(item)?;
    let mut t = r.table(item, "gauge.*")?;
    let sts = r.need(&mut t, "sts", "12", Reader::positive);
    let rows = r.need(&mut t, "rows", "10", Reader::positive);
    let over = r.need(&mut t, "over", "\"10 cm\"", Reader::extent);
    let about = r.opt(&mut t, "about", Reader::text);
    let hook = r.opt(&mut t, "hook", Reader::word);
    let yarn = r.opt(&mut t, "yarn", Reader::word);
    let swatch_mass = r.opt(&mut t, "swatch_mass", Reader::mass);
    let swatch_size = r.opt(&mut t, "swatch", |r, i| {
        let mut s = r.table(i, "gauge.*.swatch")?;
        let width = r.need(&mut s, "width", "\"15 cm\"", Reader::extent);
        let height = r.need(&mut s, "height", "\"15 cm\"", Reader::extent);
        r.close(s);
        Some((width?.value, height?.value))
    });
    let washed = r.opt(&mut t, "washed", Reader::flag);
    let stretch = r.opt(&mut t, "stretch", |r, i| share(r, i, 0.0, 200.0));
    let place = item.key_place;
    r.close(t);
    Some(Gauge {
        name: item.key.to_owned(),
        sts: sts?,
        rows: rows?,
        over: over?,
        about,
        hook,
        yarn,
        swatch_mass,
        swatch_size,
        washed,
        stretch,
        place,
    })
}

pub(super) fn sample<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Sample> {
    let mut t = r.table(item, "sample")?;
    let size = r.need(&mut t, "size", "\"adult-m\"", Reader::word);
    let mass = r.opt(&mut t, "mass", |r, i| {
        let mut m = r.table(i, "sample.mass")?;
        let entries = m.take_all();
        Some(
            entries
                .into_iter()
                .filter_map(|i| r.mass(i).map(|mass| (i.key.to_owned(), mass)))
                .collect(),
        )
    });
    let girth = r.opt(&mut t, "girth", Reader::extent);
    let depth = r.opt(&mut t, "depth", Reader::extent);
    let place = t.place;
    r.close(t);
    Some(Sample { size: size?, mass: mass.unwrap_or_default(), girth, depth, place })
}

pub(super) fn special<'a>(r: &mut Reader<'a>, mut t: Table<'a>) -> Option<Special> {
    let name = r.need(&mut t, "name", "\"moss stitch\"", Reader::some_text);
    let abbr = r.opt(&mut t, "abbr", Reader::some_text);
    let text = r.need(&mut t, "text", "\"sc in next st, ch 1, skip next st\"", Reader::some_text);
    let note = r.opt(&mut t, "note", Reader::text);
    let place = t.place;
    r.close(t);
    Some(Special { name: name?, abbr, text: text?, note, place })
}

fn worked<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Placed<Worked>> {
    let word = choice(r, item, &["rows", "joined rounds", "spiral", "mixed"])?;
    let value = match word.value.as_str() {
        "rows" => Worked::Rows,
        "joined rounds" => Worked::JoinedRounds,
        "spiral" => Worked::Spiral,
        _ => Worked::Mixed,
    };
    Some(Placed { value, place: word.place })
}

/// One piece. Where the design has but one gauge, a piece need not name it.
pub(super) fn piece<'a>(r: &mut Reader<'a>, mut t: Table<'a>, gauges: &[String]) -> Option<Piece> {
    let place = t.place;
    let name = r.need(&mut t, "name", "\"Body\"", Reader::some_text);
    let gauge = match (t.take("gauge"), gauges) {
        (Some(item), _) => r.word(item),
        (None, [lone]) => Some(Placed { value: lone.clone(), place }),
        (None, []) => None,
        (None, _) => {
            r.missing(&t, "gauge", "\"body\"");
            None
        }
    };
    let hook = r.opt(&mut t, "hook", Reader::word);
    let yarn = r.opt(&mut t, "yarn", Reader::word);
    let worked = r.need(&mut t, "worked", "\"joined rounds\"", worked);
    let text = r.need(&mut t, "text", "\"\"\"…\"\"\"", Reader::some_text);
    let note = r.opt(&mut t, "note", Reader::text);
    let finishing = r.opt(&mut t, "finishing", Reader::text);
    let make = r.opt(&mut t, "make", |r, i| r.whole(i, 1, 100)).map_or(1, |m| m.value as u32);
    let from = r.opt(&mut t, "from", Reader::word);
    let sizes = r.opt(&mut t, "sizes", Reader::words).unwrap_or_default();
    let count_chains = r.opt(&mut t, "count_chains", Reader::flag).unwrap_or(false);
    let beyond = r.opt(&mut t, "beyond", Reader::flag).unwrap_or(false);
    let fold = r.opt(&mut t, "fold", super::sizes::rule);
    let until_ball_ends = r.opt(&mut t, "until_ball_ends", until_ball_ends);
    r.close(t);
    let text = text?;
    if text.text.len() > crate::limits::TEXT_BYTES {
        let message = format!("the text has more than {} bytes", crate::limits::TEXT_BYTES);
        r.fault(Finding::fault("limit", message).at(text.place, ""));
        return None;
    }
    Some(Piece {
        name: name?,
        gauge: gauge?,
        hook,
        yarn,
        worked: worked?,
        text,
        note,
        finishing,
        make,
        from,
        sizes,
        count_chains,
        beyond,
        fold,
        until_ball_ends,
        place,
    })
}

fn until_ball_ends<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<UntilBallEnds> {
    let mut t = r.table(item, "piece.until_ball_ends")?;
    let rounds = r.need(&mut t, "rounds", "\"rounds\"", Reader::word);
    let keep = r.opt(&mut t, "keep", Reader::mass);
    let place = t.place;
    r.close(t);
    Some(UntilBallEnds { rounds: rounds?, keep, place })
}

pub(super) fn finishing<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Vec<Text>> {
    let mut t = r.table(item, "finishing")?;
    let steps = r.need(&mut t, "steps", "[\"Weave in ends.\"]", Reader::texts);
    r.close(t);
    steps
}

pub(super) fn pompom<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Pompom> {
    let mut t = r.table(item, "pompom")?;
    let kind = r.need(&mut t, "kind", "\"yarn\"", |r, i| {
        let word = choice(r, i, &["yarn", "fur", "both"])?;
        let value = match word.value.as_str() {
            "fur" => PompomKind::Fur,
            "both" => PompomKind::Both,
            _ => PompomKind::Yarn,
        };
        Some(Placed { value, place: word.place })
    });
    let sizes = r.opt(&mut t, "sizes", Reader::words).unwrap_or_default();
    let diameter = r.need(&mut t, "diameter", "\"8 cm\"", super::sizes::rule);
    let yarn = r.opt(&mut t, "yarn", Reader::word);
    let pile = r.opt(&mut t, "pile", Reader::extent);
    let hole = r.opt(&mut t, "hole", Reader::extent);
    let trim = r.opt(&mut t, "trim", Reader::extent);
    let note = r.opt(&mut t, "note", Reader::text);
    let place = t.place;
    r.close(t);
    Some(Pompom { kind: kind?, sizes, diameter: diameter?, yarn, pile, hole, trim, note, place })
}

pub(super) fn history<'a>(r: &mut Reader<'a>, mut t: Table<'a>) -> Option<HistoryEntry> {
    let edition = r.need(&mut t, "edition", "\"1.1\"", Reader::some_text);
    let date = r.opt(&mut t, "date", Reader::date);
    let change = r.need(&mut t, "change", "\"Row 3 of the cuff mended.\"", Reader::some_text);
    let place = t.place;
    r.close(t);
    Some(HistoryEntry { edition: edition?, date, change: change?, place })
}
