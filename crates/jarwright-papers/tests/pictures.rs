//! Laws of every picture: what holds whatever it is asked to draw.

#![allow(clippy::unwrap_used)]

use jarwright_papers::drawing::{
    Across, Adding, Around, BandCurve, BandPoint, Banded, CauseRow, Causes, Change, ChangeScale, Changes, Curve,
    Curves, Film, Frame, JarSection, Level, LogPicture, Lower, LowerLine, Mark, Medium, OneCurve, Phase, Pot, Probe,
    Room, Spot, Up, Weight, banded, causes, changes, curve, curves, film, jar_section, jar_strip, log, pot,
};

/// Words that would break a picture if they were not escaped.
const HOSTILE: &str = "\"><script>a</script> style=& <b onclick='x'>";

/// Every picture of one set of numbers: `f` gives the value at a minute.
fn all(f: &dyn Fn(f64) -> f64, words: &str, points: u32) -> Vec<(&'static str, String)> {
    let words = || words.to_owned();
    let minutes: Vec<f64> = (0..points)
        .map(|i| 120.0 * f64::from(i) / f64::from(points - 1))
        .collect();
    let pairs: Vec<(f64, f64)> = minutes.iter().map(|m| (*m, f(*m))).collect();
    let band: Vec<BandPoint> = pairs
        .iter()
        .map(|&(at, value)| BandPoint {
            at,
            low: value - 3.0,
            value,
            high: value + 2.0,
        })
        .collect();
    let phases = vec![Phase {
        from_min: 30.0,
        words: words(),
    }];
    let marks = vec![Mark {
        at_min: 60.0,
        c: f(60.0),
        words: words(),
    }];
    let levels = vec![Level {
        c: f(90.0),
        words: words(),
    }];
    let strong = BandCurve {
        words: words(),
        weight: Weight::Strong,
        points: band.clone(),
    };
    let fine = BandCurve {
        words: words(),
        weight: Weight::Fine,
        points: band.clone(),
    };
    let one = LowerLine {
        words: words(),
        weight: Weight::Dashed,
        points: pairs.clone(),
    };
    let curves_of = |room| Banded {
        id: "b".into(),
        title: words(),
        desc: words(),
        room,
        up: Up::Temperature,
        across: Across::Minutes,
        curves: vec![strong.clone(), fine.clone()],
        levels: levels.clone(),
        phases: phases.clone(),
        marks: marks.clone(),
        lower: Some(Lower {
            title: words(),
            lines: vec![one.clone(), one.clone()],
            adding: Adding::Stacked,
            asked: Some((f(20.0), words())),
        }),
        cursors: minutes.iter().copied().take(30).collect(),
        below: vec![words()],
    };
    let jar = JarSection {
        id: "j".into(),
        title: words(),
        r_mm: vec![0.0, 20.0, 40.0],
        z_mm: vec![0.0, 50.0, 100.0],
        inner_radius_mm: 40.0,
        food_mm: 100.0,
        headspace_mm: 8.0,
        wall_mm: 2.5,
        base_mm: 4.0,
        frames: (0..4)
            .map(|i| Frame {
                at_min: 40.0 * f64::from(i),
                words: words(),
                celsius: (0..9).map(|node| f(10.0 * f64::from(node * i))).collect(),
                around: Around {
                    medium: Medium::Water,
                    c: f(1.0),
                },
            })
            .collect(),
    };
    let spots: Vec<Spot> = pairs
        .iter()
        .map(|&(at_min, value)| Spot {
            at_min,
            value,
            broken: false,
        })
        .collect();
    let mut drawn = vec![
        ("section", jar_section(&jar, 2)),
        (
            "film",
            film(&Film {
                jar: jar.clone(),
                curves: curves_of(Room::Wide),
            }),
        ),
        (
            "curve",
            curve(&Curve {
                id: "c".into(),
                title: words(),
                desc: words(),
                points: pairs.clone(),
                boils_c: f(120.0),
                phases: phases.clone(),
                marks: marks.clone(),
            }),
        ),
        (
            "curves",
            curves(&Curves {
                id: "c".into(),
                title: words(),
                desc: words(),
                curves: vec![OneCurve {
                    points: pairs.clone(),
                    weight: Weight::Strong,
                    words: Some(words()),
                }],
                levels: levels.clone(),
                below: vec![words()],
            }),
        ),
        (
            "log",
            log(&LogPicture {
                id: "l".into(),
                title: words(),
                desc: words(),
                probes: vec![Probe {
                    name: words(),
                    medium: false,
                    spots: spots.clone(),
                    sum: spots,
                }],
                sum_title: words(),
                marks: vec![(f(50.0), words())],
                moments: vec![(50.0, words())],
                note: words(),
            }),
        ),
    ];
    for room in [Room::Narrow, Room::Wide] {
        drawn.extend([
            ("strip", jar_strip(&jar, room)),
            ("banded", banded(&curves_of(room))),
            (
                "pot",
                pot(&Pot {
                    id: "p".into(),
                    title: words(),
                    desc: words(),
                    room,
                    mean: band.clone(),
                    wall: pairs.clone(),
                    levels: levels.clone(),
                    phases: phases.clone(),
                    events: phases.clone(),
                    ready_min: Some(100.0),
                    below: vec![words()],
                }),
            ),
            (
                "causes",
                causes(&Causes {
                    id: "k".into(),
                    title: words(),
                    desc: String::new(),
                    room,
                    rows: vec![CauseRow {
                        words: words(),
                        share: f(30.0) / 200.0,
                        told: String::new(),
                    }],
                }),
            ),
            (
                "changes",
                changes(&Changes {
                    id: "d".into(),
                    title: words(),
                    desc: String::new(),
                    room,
                    scale: ChangeScale::EachOwn,
                    rows: vec![Change {
                        words: words(),
                        before: f(10.0),
                        after: f(70.0),
                        before_words: format!("{} g", f(10.0)),
                        after_words: format!("{} g", f(70.0)),
                    }],
                }),
            ),
        ]);
    }
    drawn
        .into_iter()
        .filter_map(|(name, picture)| Some((name, picture?.into_string())))
        .collect()
}

/// A rise and a fall: 20 to 95 °C at 80 min, back to 60 °C.
fn rise_and_fall(minute: f64) -> f64 {
    if minute <= 80.0 {
        20.0 + 75.0 * minute / 80.0
    } else {
        95.0 - 35.0 * (minute - 80.0) / 40.0
    }
}

#[test]
fn nothing_runs_is_styled_or_comes_from_outside_and_words_are_escaped() {
    let drawn = all(&rise_and_fall, HOSTILE, 61);
    assert_eq!(drawn.len(), 15);
    for (name, svg) in drawn {
        for never in [
            "<script",
            "<b ",
            "<style",
            " style=\"",
            "javascript:",
            "<image",
            "url(",
            "href=\"http",
        ] {
            assert!(!svg.contains(never), "{name}: {never}");
        }
        assert!(svg.contains("&lt;script&gt;"), "{name}");
    }
}

#[test]
fn every_picture_has_a_role_a_title_and_words_that_name_lowest_and_highest() {
    for (name, svg) in all(&rise_and_fall, "food", 61) {
        let pictures = svg.matches("<svg").count();
        assert_eq!(svg.matches("role=\"img\"").count(), pictures, "{name}");
        assert_eq!(svg.matches("<title id=").count(), pictures, "{name}");
        assert_eq!(svg.matches("<desc id=").count(), pictures, "{name}");
        if ["curve", "curves", "log", "banded", "pot", "film"].contains(&name) {
            let (low, high) = ("lowest 20 °C (68 °F) at 0 min", "highest 95 °C (203 °F) at 80 min");
            assert!(svg.contains(low) && svg.contains(high), "{name}");
        }
    }
}

#[test]
fn numbers_that_are_none_or_enormous_never_break_a_picture() {
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, 0.0, 1e-300];
    for value in odd {
        let sometimes = |m: f64| {
            if m % 12.0 < 4.0 { value } else { rise_and_fall(m) }
        };
        for f in [&sometimes as &dyn Fn(f64) -> f64, &|_| value] {
            for (name, svg) in all(f, "food", 31) {
                let lengths = svg.split(" d=\"").skip(1).filter_map(|rest| rest.split('"').next());
                let coordinates: String = lengths.collect();
                assert!(
                    !coordinates.contains("NaN") && !coordinates.contains("inf"),
                    "{name} {value}"
                );
            }
        }
    }
}

#[test]
fn each_picture_is_small_however_many_points_it_has() {
    let noisy = |m: f64| rise_and_fall(m) + 2.0 * (m * 7.0).sin();
    for (name, svg) in all(&rise_and_fall, "food", 2000)
        .into_iter()
        .chain(all(&noisy, "food", 2000))
    {
        for one in svg.split("<svg").skip(1) {
            assert!(one.len() < 25_000, "{name}: {}", one.len());
        }
    }
}

#[test]
fn the_same_numbers_give_the_same_picture() {
    assert_eq!(all(&rise_and_fall, "food", 61), all(&rise_and_fall, "food", 61));
}
