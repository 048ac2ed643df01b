//! Trees grown at random: what a designer could write, in the reader's own forms.
//!
//! Strategies are boxed: unboxed, each holds all it is made of, and without optimisation they
//! grow larger than a thread's stack.

use brimwright::written::*;
use proptest::collection::vec;
use proptest::option::{self, weighted};
use proptest::prelude::*;
use proptest::sample::select;

fn at() -> At {
    At::default()
}

fn hole(text: &str) -> Number {
    Number::Hole(Box::new(Hole { text: text.to_owned(), at: at() }))
}

/// A number of things, sometimes graded, sometimes none in a size.
fn some() -> impl Strategy<Value = Number> {
    prop_oneof![
        6 => (1u64..12).prop_map(Number::Plain),
        2 => select(vec!["n", "m", "k", "m + 1"]).prop_map(hole),
    ]
}

/// Two at least, in every size.
fn several() -> impl Strategy<Value = Number> {
    prop_oneof![4 => (2u64..12).prop_map(Number::Plain), 1 => select(vec!["k", "m + 1"]).prop_map(hole)]
}

fn small() -> impl Strategy<Value = Number> {
    prop_oneof![4 => (1u64..6).prop_map(Number::Plain), 1 => Just(hole("k"))]
}

fn base() -> impl Strategy<Value = Base> {
    select(vec![Base::Sc, Base::Hdc, Base::Dc, Base::Tr, Base::Dtr, Base::Trtr])
}

fn single() -> BoxedStrategy<Kind> {
    let worked = (base(), select(vec![Post::No, Post::No, Post::Front, Post::Back]))
        .prop_map(|(base, post)| Kind { post, ..Kind::plain(base) });
    let formed = (base(), select(vec![Form::Extended, Form::Foundation, Form::Reverse]))
        .prop_map(|(base, form)| Kind { form, ..Kind::plain(base) });
    let texture = select(vec![Base::Cluster, Base::Puff, Base::Bobble, Base::Popcorn, Base::Picot]);
    prop_oneof![
        6 => base().prop_map(Kind::plain),
        3 => worked,
        1 => formed,
        1 => texture.prop_map(Kind::plain),
        1 => Just(Kind::SL_ST),
    ]
    .boxed()
}

fn place() -> BoxedStrategy<PlaceKind> {
    prop_oneof![
        6 => Just(PlaceKind::Stitch),
        2 => single().prop_map(PlaceKind::Named),
        1 => Just(PlaceKind::Chain),
        2 => option::of(small()).prop_map(PlaceKind::ChainSpace),
        1 => Just(PlaceKind::Special(0)),
    ]
    .boxed()
}

fn loops() -> impl Strategy<Value = Loop> {
    prop_oneof![8 => Just(Loop::Both), 1 => Just(Loop::Back), 1 => Just(Loop::Front), 1 => Just(Loop::Third)]
}

fn extent() -> BoxedStrategy<Extent> {
    let last = prop_oneof![
        4 => Just(PlaceKind::Stitch),
        1 => small().prop_map(|n| PlaceKind::ChainSpace(Some(n))),
    ];
    prop_oneof![
        4 => Just(Extent::End),
        2 => (some(), last).prop_map(|(count, place)| Extent::ToLast { count, place }),
        1 => Just(Extent::ToTurningChain),
        1 => small().prop_map(|n| Extent::ToNext(PlaceKind::ChainSpace(Some(n)))),
        1 => Just(Extent::ToNext(PlaceKind::Special(0))),
    ]
    .boxed()
}

fn to(reach: Reach, place: PlaceKind) -> Target {
    Target { reach, place, ..Target::next(Number::ONE) }
}

/// Places that may follow any stitch worked into the top.
fn target() -> BoxedStrategy<Target> {
    let run = (some(), place(), select(vec![0, 0, 0, 1, 2]), loops()).prop_map(
        |(n, place, which, loops)| {
            let reach = match which {
                0 => Reach::Next(n),
                1 => Reach::First(n),
                _ => Reach::Last(n),
            };
            let plain = matches!(place, PlaceKind::Stitch | PlaceKind::Named(_));
            Target { loops: if plain { loops } else { Loop::Both }, ..to(reach, place) }
        },
    );
    let each = (extent(), place(), loops()).prop_map(|(extent, place, loops)| {
        let plain = matches!(place, PlaceKind::Stitch | PlaceKind::Named(_));
        Target { loops: if plain { loops } else { Loop::Both }, ..to(Reach::Each(extent), place) }
    });
    let any_of = vec(
        prop_oneof![
            single().prop_map(PlaceKind::Named),
            small().prop_map(|n| PlaceKind::ChainSpace(Some(n)))
        ],
        2..4,
    )
    .prop_map(|kinds| to(Reach::Each(Extent::End), PlaceKind::AnyOf(kinds)));
    let others = prop_oneof![
        Just(to(Reach::Same, PlaceKind::Stitch)),
        Just(to(Reach::Same, PlaceKind::ChainSpace(None))),
        Just(to(Reach::SameAsJoin, PlaceKind::Stitch)),
        (2u64..9).prop_map(|n| to(Reach::Nth(Number::Plain(n)), PlaceKind::Chain)),
        Just(to(Reach::Any, PlaceKind::Stitch)),
        several().prop_map(|n| to(Reach::Remaining(Some(n)), PlaceKind::Stitch)),
        Just(to(Reach::Remaining(None), PlaceKind::Stitch)),
        Just(to(Reach::Skipped(Number::ONE), PlaceKind::Stitch)),
        several().prop_map(|n| to(Reach::Skipped(n), PlaceKind::Stitch)),
        several().prop_map(|n| to(Reach::Unworked(Some(n)), PlaceKind::Stitch)),
        Just(to(Reach::Unworked(None), PlaceKind::Stitch)),
        several().prop_map(|n| to(Reach::All(n), PlaceKind::Stitch)),
        (several(), extent())
            .prop_map(|(n, extent)| to(Reach::Every(n, extent), PlaceKind::Stitch)),
        (several(), any::<bool>()).prop_map(|(n, each)| Target {
            part: Part::NthOf(n, Some(Kind::plain(Base::Dc))),
            ..to(
                if each { Reach::Each(Extent::End) } else { Reach::Next(Number::ONE) },
                PlaceKind::Special(0)
            )
        }),
        Just(to(Reach::Same, PlaceKind::Ring)),
        some().prop_map(|n| to(Reach::Next(n), PlaceKind::RowEnd)),
        Just(to(Reach::Each(Extent::End), PlaceKind::RowEnd)),
        option::of(small()).prop_map(|n| to(Reach::Last(Number::ONE), PlaceKind::TurningChain(n))),
        (small(), small()).prop_map(|(n, k)| Target {
            part: Part::NthChain(n),
            ..to(Reach::Last(Number::ONE), PlaceKind::TurningChain(Some(k)))
        }),
        (small(), any::<bool>()).prop_map(|(n, each)| Target {
            part: Part::SpaceOf(Some(n)),
            ..to(
                if each { Reach::Each(Extent::End) } else { Reach::Next(Number::ONE) },
                PlaceKind::Special(0)
            )
        }),
        Just(Target {
            part: Part::Centre(Some(Kind::plain(Base::Dc))),
            ..to(Reach::Next(Number::ONE), PlaceKind::Fan { count: None, kind: None })
        }),
        several().prop_map(|n| Target { of: Some(Number::Plain(2)), ..Target::next(n) }),
        Just(Target { part: Part::Below(Number::ONE), ..Target::next(Number::ONE) }),
        several().prop_map(|n| Target { part: Part::After, ..Target::next(n) }),
        Just(Target { part: Part::After, ..to(Reach::Each(Extent::End), PlaceKind::Special(0)) }),
        several().prop_map(|n| Target {
            of: Some(Number::Plain(0)),
            ..to(Reach::Next(n), PlaceKind::Chain)
        }),
    ];
    prop_oneof![6 => run, 3 => each, 1 => any_of, 3 => others].boxed()
}

fn stitch(count: Number, kind: Kind) -> Made {
    Made::Stitch { count, kind }
}

fn work(made: Made, targets: Vec<Target>) -> Act {
    Act::Work(Working::new(made, targets))
}

fn counting() -> BoxedStrategy<ChainCounts> {
    let counts_as = (option::of(base().prop_map(Kind::plain)), option::of(small()))
        .prop_map(|(kind, chains)| CountsAs { kind, chains });
    (option::of(counts_as), any::<bool>())
        .prop_map(|(as_kind, throughout)| ChainCounts { as_kind, throughout })
        .boxed()
}

fn working() -> BoxedStrategy<Act> {
    let plain = (some(), single(), vec(target(), 1..3)).prop_map(|(count, kind, mut targets)| {
        let count = if targets.len() > 1 { Number::ONE } else { count };
        // Two walks over "each" are one walk over both kinds.
        if targets.iter().filter(|t| matches!(t.reach, Reach::Each(_))).count() > 1 {
            targets.truncate(1);
        }
        // "Sl st in first st" and "sl st in top of turning ch" are the words for a join, and a
        // hole may come to one, or to none before it.
        for target in targets.iter_mut().filter(|_| kind == Kind::SL_ST) {
            if matches!(target.reach, Reach::First(_))
                || matches!(target.place, PlaceKind::TurningChain(_))
            {
                *target = Target::next(Number::ONE);
            }
        }
        // Posts are gone around; loops and rings are not.
        if kind.post != Post::No {
            targets = vec![Target::next(Number::Plain(2))];
        }
        work(stitch(count, kind), targets)
    });
    let decrease = (base(), 2u8..5, some(), select(vec![0, 0, 1, 2, 3])).prop_map(
        |(base, n, times, which)| {
            let reach = match which {
                0 => Reach::Next(times),
                1 => Reach::First(Number::ONE),
                2 => Reach::Last(Number::ONE),
                _ => Reach::Each(Extent::End),
            };
            work(stitch(Number::ONE, Kind::plain(base).tog(n)), vec![to(reach, PlaceKind::Stitch)])
        },
    );
    let group = (vec(group_step(), 2..5), target()).prop_map(|(steps, target)| {
        let mut steps = steps;
        steps.push(Step { at: at(), act: work(stitch(Number::ONE, Kind::SC), Vec::new()) });
        work(Made::Group(steps), vec![target])
    });
    let special = (small(), target())
        .prop_map(|(count, target)| work(Made::Special { count, special: 0 }, vec![target]));
    let foundation = (base(), 2u64..8, option::of(counting())).prop_map(|(base, n, skipped)| {
        let targets = vec![to(Reach::Nth(Number::Plain(n)), PlaceKind::Chain)];
        let made = stitch(Number::ONE, Kind::plain(base));
        Act::Work(Working { skipped, ..Working::new(made, targets) })
    });
    // "sc in each st around, working 2 sc in every 3rd st, working 3 dc in each ch-2 sp"
    let every = (some(), several()).prop_map(|(count, n)| Besides {
        made: stitch(count, Kind::SC),
        target: to(Reach::Every(n, Extent::End), PlaceKind::Stitch),
    });
    let space = (some(), small()).prop_map(|(count, n)| Besides {
        made: stitch(count, Kind::plain(Base::Dc)),
        target: to(Reach::Each(Extent::End), PlaceKind::ChainSpace(Some(n))),
    });
    let walk = (extent(), vec(prop_oneof![every, space], 1..3)).prop_map(|(extent, besides)| {
        let targets = vec![to(Reach::Each(extent), PlaceKind::Stitch)];
        Act::Work(Working { besides, ..Working::new(stitch(Number::ONE, Kind::SC), targets) })
    });
    // A picot needs no place: it stands on the stitch before it.
    let picot = some().prop_map(|count| work(stitch(count, Kind::plain(Base::Picot)), Vec::new()));
    prop_oneof![
        8 => plain,
        3 => decrease,
        2 => group,
        1 => special,
        1 => foundation,
        1 => walk,
        1 => picot,
    ]
    .boxed()
}

fn group_step() -> BoxedStrategy<Step> {
    let act = prop_oneof![
        small().prop_map(|count| Act::Chain(Chain { count, counts: None })),
        (some(), single()).prop_map(|(count, kind)| work(stitch(count, kind), Vec::new())),
    ];
    act.prop_map(|act| Step { at: at(), act }).boxed()
}

fn leaf() -> BoxedStrategy<Act> {
    let skip = (some(), place(), any::<bool>()).prop_map(|(n, place, first)| {
        let reach = if first { Reach::First(n) } else { Reach::Next(n) };
        Act::Skip(to(
            reach,
            if place == PlaceKind::Named(Kind::SL_ST) { PlaceKind::Stitch } else { place },
        ))
    });
    let colour =
        select(vec![("A", "with A"), ("B", "changing to B in last st"), ("MC", "with MC")])
            .prop_map(|(to, words)| {
                Act::Colour(Colour { to: Some(to.to_owned()), words: words.to_owned() })
            });
    let remark = select(vec![
        "place marker",
        "being careful not to twist",
        "carrying unused yarn",
        "working loosely",
        "(corner made)",
    ])
    .prop_map(|words| Act::Remark(words.to_owned()));
    prop_oneof![
        12 => working(),
        2 => (some(), weighted(0.3, counting())).prop_map(|(count, counts)| Act::Chain(Chain { count, counts })),
        2 => skip,
        1 => colour,
        1 => remark,
        1 => select(vec![Act::Turn, Act::NoTurn, Act::Ring, Act::NoJoin]),
        1 => option::of(some()).prop_map(|count| Act::Leave(Leave { count })),
        1 => select(vec![Loop::Back, Loop::Front, Loop::Third, Loop::Bump]).prop_map(Act::LineLoop),
        1 => rejoin(),
        1 => select(vec![
            Act::Along(Edge::FoundationOpposite),
            Act::Along(Edge::Foundation),
            Act::Along(Edge::Side),
            Act::Along(Edge::FreeLoops { loops: Loop::Front, of: Some(Number::Plain(2)) }),
        ]),
    ].boxed()
}

fn rejoin() -> BoxedStrategy<Act> {
    let target = prop_oneof![
        Just(Target::next(Number::ONE)),
        Just(to(Reach::Any, PlaceKind::Stitch)),
        Just(to(Reach::First(Number::ONE), PlaceKind::Stitch)),
        Just(Target { loops: Loop::Back, ..Target::next(Number::ONE) }),
    ];
    let with = option::of(prop_oneof![Just(Kind::SL_ST), base().prop_map(Kind::plain)]);
    let colour = option::of(Just("B".to_owned()));
    (with, target, colour)
        .prop_map(|(with, target, colour)| {
            let counts = with.is_some_and(|k| k != Kind::SL_ST);
            Act::Rejoin(Rejoin { with, counts, target: Some(Box::new(target)), colour })
        })
        .boxed()
}

fn step(act: Act) -> Step {
    Step { at: at(), act }
}

fn act() -> BoxedStrategy<Act> {
    leaf()
        .prop_recursive(3, 14, 4, |inner| {
            let times = prop_oneof![
                3 => Just(Times::Around),
                2 => some().prop_map(Times::Total),
                2 => some().prop_map(Times::More),
                1 => some().prop_map(|count| Times::ToLast { count, place: PlaceKind::Stitch }),
                1 => Just(Times::ToTurningChain),
            ];
            // The first step is one that never vanishes, so that marks and brackets hold something.
            (vec(inner.prop_map(step), 1..4), times, any::<u8>()).prop_map(
                |(mut steps, times, stop)| {
                    steps.insert(
                        0,
                        step(work(stitch(Number::ONE, Kind::SC), vec![Target::next(Number::ONE)])),
                    );
                    // Only the inmost repeat may stop early: two such ends in one line confuse readers.
                    let inmost = !steps.iter().any(|s| matches!(s.act, Act::Repeat(_)));
                    let stops = stop < 40 && inmost && !matches!(times, Times::Total(_));
                    let last_stops = stops.then_some(1);
                    Act::Repeat(Repeat { mark: Mark::Star, steps, times, last_stops })
                },
            )
        })
        .boxed()
}

fn join() -> BoxedStrategy<Act> {
    let into = prop_oneof![
        Just(JoinPlace::First(PlaceKind::Stitch)),
        single().prop_map(|k| JoinPlace::First(PlaceKind::Named(k))),
        Just(JoinPlace::FirstChain),
        (option::of(small()), option::of((2u64..6).prop_map(Number::Plain)))
            .prop_map(|(chains, nth)| JoinPlace::BeginningChain { chains, nth }),
    ];
    (option::of(into), any::<bool>())
        .prop_map(|(into, ring)| Act::Join(Join { with: Kind::SL_ST, into, ring }))
        .boxed()
}

fn claim() -> BoxedStrategy<Claim> {
    let unit = prop_oneof![
        3 => Just(Unit::Stitches),
        3 => single().prop_map(Unit::Kind),
        1 => Just(Unit::Special(0)),
        1 => option::of(small()).prop_map(Unit::ChainSpaces),
        1 => Just(Unit::Chains),
    ];
    let count = prop_oneof![(1u64..99).prop_map(Number::Plain), Just(hole("sts"))];
    vec((count, unit), 1..3)
        .prop_map(|items| Claim {
            at: at(),
            items: items
                .into_iter()
                .map(|(count, unit)| ClaimItem { at: at(), count, unit })
                .collect(),
        })
        .boxed()
}

fn which() -> BoxedStrategy<Which> {
    prop_oneof![
        6 => (1u64..40).prop_map(|n| Which::One(Number::Plain(n))),
        1 => Just(Which::One(hole("a"))),
        2 => (1u64..20, 1u64..9).prop_map(|(a, n)| Which::Range(Number::Plain(a), Number::Plain(a + n))),
        1 => Just(Which::Range(hole("a"), hole("b"))),
        1 => Just(Which::Range(Number::Plain(14), hole("b"))),
        1 => (1u64..9).prop_map(|a| Which::List(vec![Number::Plain(a), Number::Plain(a + 1), Number::Plain(a + 3)])),
        1 => (1u64..9).prop_map(|n| Which::EveryOther(Number::Plain(n))),
        1 => Just(Which::Next(Number::ONE)),
        1 => several().prop_map(Which::Next),
        1 => Just(Which::Named("Edging".to_owned())),
    ].boxed()
}

fn again() -> BoxedStrategy<Act> {
    let which = prop_oneof![
        (1u64..9).prop_map(|n| vec![(n, n)]),
        (1u64..9).prop_map(|n| vec![(n, n), (n + 1, n + 1)]),
        (1u64..9).prop_map(|n| vec![(n, n + 3)]),
    ];
    let times = prop_oneof![
        Just(AgainTimes::AsLabelled),
        several().prop_map(AgainTimes::Times),
        Just(AgainTimes::Times(Number::ONE)),
        several().prop_map(AgainTimes::Courses),
        several().prop_map(AgainTimes::UntilRemain),
        several().prop_map(AgainTimes::UntilWorked),
    ];
    let shape = select(vec![Shape::Row, Shape::Round]);
    let last = weighted(0.2, several());
    (shape, which, times, last)
        .prop_map(|(shape, which, times, last)| {
            let which = if last.is_some() { Vec::new() } else { which };
            let which =
                which.into_iter().map(|(a, b)| (Number::Plain(a), Number::Plain(b))).collect();
            Act::Again(Again { shape, which, last, of: None, times, ending: None })
        })
        .boxed()
}

fn even() -> impl Strategy<Value = Act> {
    let even = (option::of(several()), option::of(base().prop_map(Kind::plain)))
        .prop_map(|(count, kind)| Even { count, until: None, kind, shaping: None });
    let evenly = (any::<bool>(), several()).prop_map(|(grows, n)| {
        let shaping = Some(Shaping { grows, at: ShapedAt::Evenly(n) });
        Even { count: None, until: None, kind: None, shaping }
    });
    let ends = (any::<bool>(), 1u64..3, several(), 0..3).prop_map(|(grows, every, n, how)| {
        let (count, until) = match how {
            0 => (Some(n), None),
            1 => (None, Some(n)),
            _ => (None, None),
        };
        let shaping = Some(Shaping { grows, at: ShapedAt::Ends { every, until } });
        Even { count, until: None, kind: None, shaping }
    });
    prop_oneof![2 => even, 1 => evenly, 1 => ends].prop_map(Act::Even)
}

fn worked() -> BoxedStrategy<Work> {
    let label = (select(vec![Shape::Row, Shape::Round]), which())
        .prop_map(|(shape, which)| Label { at: at(), shape, which });
    let steps = prop_oneof![
        8 => (vec(act().prop_map(step), 1..5), weighted(0.5, join()), weighted(0.1, Just(Act::FastenOff)))
            .prop_map(|(mut steps, join, off)| {
                steps.insert(0, step(work(stitch(Number::ONE, Kind::SC), vec![Target::next(Number::ONE)])));
                steps.extend(join.map(step));
                steps.extend(off.map(step));
                steps
            }),
        1 => again().prop_map(|a| vec![step(a)]),
        1 => even().prop_map(|a| vec![step(a)]),
    ];
    let side = weighted(0.1, select(vec![Side::Right, Side::Wrong]));
    (label, side, steps, weighted(0.6, claim()), any::<bool>())
        .prop_map(|(label, side, mut steps, claim, counts)| {
            // Some ranges count their rounds.
            let refers = steps.iter().any(|s| matches!(s.act, Act::Again(_) | Act::Even(_)));
            if counts && !refers && matches!(label.which, Which::Range(..)) {
                let text = if steps.len() % 2 == 0 { "sts - step" } else { "2 * round" };
                steps.insert(
                    0,
                    step(work(stitch(Number::ONE, Kind::SC), vec![Target::next(hole(text))])),
                );
            }
            Work {
                label: Some(label),
                side,
                steps,
                claims: claim.into_iter().collect(),
                ..Work::default()
            }
        })
        .boxed()
}

fn line(kind: LineKind) -> Line {
    Line { at: at(), number: 0, sizes: None, kind }
}

/// A piece with one special stitch, and sometimes with lines for some sizes only.
pub fn piece() -> impl Strategy<Value = Piece> {
    let made = vec![
        step(work(stitch(Number::ONE, Kind::plain(Base::Dc)), Vec::new())),
        step(Act::Chain(Chain { count: Number::ONE, counts: None })),
        step(work(stitch(Number::ONE, Kind::plain(Base::Dc)), Vec::new())),
    ];
    let special = Special {
        name: "V-stitch".to_owned(),
        abbr: "V-st".to_owned(),
        made: Some(made),
        stands_for: None,
        picot: None,
        text: "(dc, ch 1, dc) in st or sp indicated.".to_owned(),
        at: at(),
    };
    let limited = select(vec![0, 0, 0, 1, 2]);
    (vec(worked(), 1..4), limited).prop_map(move |(works, limited)| {
        let mut lines = vec![line(LineKind::Special(0))];
        let some = vec!["S".to_owned(), "L".to_owned()];
        let only = || if limited > 0 { Some(some.clone()) } else { None };
        if limited == 1 {
            lines.push(line(LineKind::SizesOnly(some.clone())));
        }
        let last = works.last().cloned();
        lines.extend(works.into_iter().map(|w| Line { sizes: only(), ..line(LineKind::Work(w)) }));
        if limited == 1 {
            lines.push(line(LineKind::AllSizes));
            lines.extend(last.map(|w| line(LineKind::Work(w))));
        }
        Piece { terms: Terms::Us, method: None, specials: vec![special.clone()], lines }
    })
}
