//! Every key of a design file, table by table.

/// The tables with fixed keys. `*` stands for a name the author chooses; "" is the file.
pub const KEYS: &[(&str, &[&str])] = &[
    (
        "",
        &[
            "format",
            "terms",
            "pattern",
            "yarn",
            "hook",
            "materials",
            "gauge",
            "sample",
            "fit",
            "sizes",
            "counts",
            "count_names",
            "special",
            "piece",
            "finishing",
            "pompom",
            "history",
        ],
    ),
    (
        "pattern",
        &[
            "title", "by", "edition", "date", "skill", "about", "photo", "alt", "rights",
            "contact", "video", "units",
        ],
    ),
    ("pattern.video", &["url", "chapters"]),
    ("yarn", &["name", "about", "weight", "ball", "balls_to_use", "colour", "margin"]),
    ("yarn.ball", &["mass", "length"]),
    ("materials", &["notions", "trims", "covers_neck"]),
    (
        "gauge.*",
        &[
            "sts",
            "rows",
            "over",
            "about",
            "hook",
            "yarn",
            "swatch_mass",
            "swatch",
            "washed",
            "stretch",
        ],
    ),
    ("gauge.*.swatch", &["width", "height"]),
    ("sample", &["size", "mass", "girth", "depth"]),
    ("fit", &["ease", "fabric", "margin"]),
    ("sizes", &["from", "use", "depth", "own"]),
    ("sizes.own.*", &["name", "head", "fits", "months", "depth"]),
    ("special", &["name", "abbr", "text", "note"]),
    (
        "piece",
        &[
            "name",
            "gauge",
            "hook",
            "yarn",
            "worked",
            "text",
            "note",
            "finishing",
            "make",
            "from",
            "sizes",
            "count_chains",
            "beyond",
            "fold",
            "until_ball_ends",
        ],
    ),
    ("piece.until_ball_ends", &["rounds", "keep"]),
    ("finishing", &["steps"]),
    ("pompom", &["kind", "sizes", "diameter", "yarn", "pile", "hole", "trim", "note"]),
    ("history", &["edition", "date", "change"]),
];

/// The tables whose keys the author names.
pub const FREE_TABLES: &[&str] = &[
    "pattern.video.chapters",
    "hook",
    "gauge",
    "sample.mass",
    "sizes.own",
    "counts",
    "count_names",
];

/// The known keys of a table, out of such a list.
pub(super) fn keys_of(
    keys: &[(&'static str, &'static [&'static str])],
    table: &str,
) -> &'static [&'static str] {
    keys.iter().find(|(name, _)| *name == table).map_or(&[], |(_, keys)| keys)
}
