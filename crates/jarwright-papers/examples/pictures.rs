//! Writes every picture into a folder, with made-up numbers, to be looked at.
//!
//! `cargo run -p jarwright-papers --example pictures -- FOLDER` writes each picture by itself as
//! `.svg` and one page, `index.html`, with the stylesheet for a light and a dark theme.

use std::io::{Error, Result};
use std::path::Path;
use std::{env, fs};

use jarwright_papers::drawing::{
    Across, Adding, Around, BandCurve, BandPoint, Banded, Bar, CauseRow, Causes, Change, ChangeScale, Changes, Curve,
    Curves, FILM_JS, Film, Frame, JarSection, Lane, Level, LogPicture, Lower, LowerLine, Mark, Medium, OneCurve,
    PICTURE_CSS, Phase, Pot, Probe, Room, Shade, Spot, Timeline, Up, Weight, banded, causes, changes, curve, curves,
    film, jar_section, jar_strip, log, pot, timeline,
};
use maud::Markup;

fn main() -> Result<()> {
    let folder = env::args()
        .nth(1)
        .ok_or_else(|| Error::other("name a folder to write into"))?;
    let folder = Path::new(&folder);
    fs::create_dir_all(folder)?;
    let jar = jar();
    let mut all = vec![
        ("section", jar_section(&jar, 12)),
        ("section-cooling", jar_section(&jar, 19)),
        (
            "film",
            film(&Film {
                jar: jar.clone(),
                curves: cold_spot(Room::Wide),
            }),
        ),
    ];
    for room in [Room::Narrow, Room::Wide] {
        all.extend([
            ("strip", jar_strip(&jar, room)),
            ("cold-spot", banded(&cold_spot(room))),
            ("pot", pot(&curd(room))),
            ("batches", banded(&batches(room))),
            ("causes", causes(&shares(room))),
            ("changes", changes(&versions(room))),
        ]);
    }
    all.extend([
        ("curve", curve(&cooling())),
        ("curves", curves(&pots())),
        ("log", log(&logged())),
        ("timeline", timeline(&day())),
    ]);
    let mut page = format!(
        "<!doctype html><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">\
         <title>pictures</title><style>{PICTURE_CSS}\
         body{{margin:12px;background:var(--picture-ground);color:var(--picture-ink)}}\
         body>div{{margin:0 0 28px}}</style>"
    );
    for (i, (name, picture)) in all.iter().enumerate() {
        let Some(svg) = picture.as_ref().map(|p: &Markup| p.0.as_str()) else {
            return Err(Error::other(format!("{name}: nothing was drawn")));
        };
        println!("{name}: {} bytes", svg.len());
        fs::write(folder.join(format!("{i:02}-{name}.svg")), svg)?;
        let class = match svg {
            s if s.starts_with("<div") => "",
            s if s.contains("width=\"360\"") && s.contains("-narrow-title") => "room-narrow",
            s if s.contains("width=\"360\"") => "",
            s if s.contains("viewBox=\"0 0 720") && (5..15).contains(&i) => "room-wide",
            _ => "picture-roll",
        };
        page.push_str(&format!("<div class=\"{class}\">{svg}</div>\n"));
    }
    page.push_str("<script src=\"film.js\"></script>");
    fs::write(folder.join("film.js"), FILM_JS)?;
    fs::write(folder.join("index.html"), page)
}

/// A half-litre jar of something stiff through a bath and out of it: conduction alone, by small steps.
fn jar() -> JarSection {
    const R: usize = 13;
    const Z: usize = 25;
    let (radius, height, diffusivity) = (0.039, 0.105, 1.5e-7);
    let (dr, dz) = (radius / (R - 1) as f64, height / (Z - 1) as f64);
    let around_at = |minute: f64| match minute {
        m if m < 20.0 => (Medium::Water, 60.0 + 2.0 * m),
        m if m < 75.0 => (Medium::Water, 100.0),
        _ => (Medium::Air, 21.0),
    };
    let mut field = vec![55.0; R * Z];
    let mut frames = Vec::new();
    let step_s = 3.0;
    for step in 0..=2300_u32 {
        let minute = f64::from(step) * step_s / 60.0;
        let (medium, c) = around_at(minute);
        if step % 100 == 0 {
            frames.push(Frame {
                at_min: minute,
                words: match minute {
                    m if m < 20.0 => "come-up",
                    m if m < 75.0 => "hold",
                    _ => "cooling in air",
                }
                .into(),
                celsius: field.clone(),
                around: Around { medium, c },
            });
        }
        let before = field.clone();
        for j in 0..Z {
            for i in 0..R {
                let at = |i: usize, j: usize| before[j * R + i];
                let here = at(i, j);
                let rim = i == R - 1 || j == 0;
                field[j * R + i] = if rim {
                    let film = if medium == Medium::Water { 0.02 } else { 0.0009 };
                    let inward = at(i.saturating_sub(1), (j + 1).min(Z - 1));
                    here + film * (c - here) + 0.06 * (inward - here)
                } else {
                    let r = i as f64 * dr;
                    let east = at(i + 1, j) - here;
                    let west = if i == 0 { east } else { at(i - 1, j) - here };
                    let axis = if i == 0 { east } else { 0.5 * dr / r * (east - west) };
                    let up = if j == Z - 1 { 0.0 } else { at(i, j + 1) - here };
                    let down = at(i, j - 1) - here;
                    let bend =
                        (east + west + if i == 0 { 2.0 * axis } else { axis }) / (dr * dr) + (up + down) / (dz * dz);
                    here + diffusivity * step_s * bend
                };
            }
        }
    }
    JarSection {
        id: "jar".into(),
        title: "Apricot butter, 500 ml jar, cut open".into(),
        r_mm: (0..R).map(|i| 1000.0 * dr * i as f64).collect(),
        z_mm: (0..Z).map(|j| 1000.0 * dz * j as f64).collect(),
        inner_radius_mm: 39.0,
        food_mm: 105.0,
        headspace_mm: 10.0,
        wall_mm: 2.6,
        base_mm: 4.5,
        frames,
    }
}

/// The coldest place: up to the hold, then down.
fn middle(minute: f64, offset: f64, hold_min: f64) -> f64 {
    let end = 30.0 + hold_min;
    let up = |m: f64| 98.0 - (98.0 - 62.0) * (-m / (21.0 + offset)).exp() * (1.0 + m / (21.0 + offset));
    let hot = up(minute.min(end + 4.0));
    if minute <= end + 4.0 {
        hot
    } else {
        21.0 + (hot - 21.0) * (-(minute - end - 4.0) / 75.0).exp()
    }
}

fn with_band(words: &str, weight: Weight, last: u32, f: impl Fn(f64, f64) -> f64) -> BandCurve {
    let point = |at: u32| {
        let at = f64::from(at);
        let (a, b) = (f(at, 3.5), f(at, -3.0));
        BandPoint {
            at,
            low: a.min(b),
            value: f(at, 0.0),
            high: a.max(b),
        }
    };
    BandCurve {
        words: words.into(),
        weight,
        points: (0..=last).map(point).collect(),
    }
}

fn phase(from_min: f64, words: &str) -> Phase {
    Phase {
        from_min,
        words: words.into(),
    }
}

fn mark(at_min: f64, c: f64, words: &str) -> Mark {
    Mark {
        at_min,
        c,
        words: words.into(),
    }
}

fn level(c: f64, words: &str) -> Level {
    Level { c, words: words.into() }
}

fn cold_spot(room: Room) -> Banded {
    let changed = |m: f64, offset: f64| middle(m, offset, 45.0);
    let planned = |m: f64, offset: f64| middle(m, offset, 30.0);
    let dose = |from: u32, to: u32| {
        let mut sum = 0.0;
        (from..=to)
            .map(|m| {
                sum += 10_f64.powf((changed(f64::from(m), 0.0) - 93.3) / 10.0);
                (f64::from(m), sum)
            })
            .collect::<Vec<_>>()
    };
    let line = |words: &str, weight, points| LowerLine {
        words: words.into(),
        weight,
        points,
    };
    let mut heating = dose(0, 79);
    let up = heating.last().map_or(0.0, |p| p.1);
    heating.push((140.0, up));
    let cooling = dose(79, 140);
    let cooling: Vec<(f64, f64)> = cooling.iter().map(|p| (p.0, p.1 - cooling[0].1)).collect();
    let down = cooling.last().map_or(0.0, |p| p.1);
    Banded {
        id: "cold-spot".into(),
        title: "The coldest place, as planned and with your change".into(),
        desc: "With 45 min of hold instead of 30 the coldest place comes to 94 °C (201 °F) instead of 91 °C (196 °F); \
               the band is 90 in 100."
            .into(),
        room,
        up: Up::Temperature,
        across: Across::Minutes,
        curves: vec![
            with_band("with your change", Weight::Strong, 140, changed),
            with_band("as planned", Weight::Dashed, 140, planned),
            with_band(
                "bath",
                Weight::Fine,
                74,
                |m, _| if m < 20.0 { 60.0 + 2.0 * m } else { 100.0 },
            ),
        ],
        levels: vec![level(93.3, "schedule counts from 93.3 °C (200 °F)")],
        phases: vec![
            phase(0.0, "wait"),
            phase(6.0, "come-up"),
            phase(30.0, "hold"),
            phase(75.0, "cooling"),
        ],
        marks: vec![
            mark(6.0, f64::NAN, "jars in: bath at most 82 °C (180 °F)"),
            mark(30.0, changed(30.0, 0.0), "at the boil, 45 min begin"),
            mark(75.0, changed(75.0, 0.0), "jars out"),
        ],
        lower: Some(Lower {
            title: "minutes at 93.3 °C (200 °F) so far".into(),
            lines: vec![
                line(&format!("while heating {up:.1}"), Weight::Strong, heating),
                line(&format!("while cooling {down:.1}"), Weight::Dashed, cooling),
            ],
            adding: Adding::Stacked,
            asked: Some((12.0, "asked: 12".into())),
        }),
        cursors: vec![],
        below: vec![],
    }
}

fn curd(room: Room) -> Pot {
    let bulk = |m: f64, o: f64| {
        20.0 + (84.0 - 20.0) * (1.0 - (-m / (11.0 + o)).exp())
            - if m > 14.0 { 6.0 * (-(m - 14.0) / 3.0).exp() } else { 0.0 }
    };
    Pot {
        id: "pot-film".into(),
        title: "Lemon curd, 3 kg in the wide pan".into(),
        desc: "Mean and wall of 3 kg.".into(),
        room,
        mean: with_band("", Weight::Strong, 27, bulk).points,
        wall: (0..=27)
            .map(f64::from)
            .map(|m| (m, bulk(m, 0.0) + 9.0 * (1.0 - (-m / 2.0).exp())))
            .collect(),
        levels: vec![level(77.0, "set point"), level(88.0, "egg scrambles from")],
        phases: vec![
            phase(0.0, "warm"),
            phase(14.0, "butter in"),
            phase(25.0, "off the heat"),
        ],
        events: vec![phase(14.0, "butter, 420 g from the refrigerator")],
        ready_min: Some(25.0),
        below: vec!["From 5 kg on, two potfuls of half one after the other are quicker than one.".into()],
    }
}

fn batches(room: Room) -> Banded {
    let curve = |kg: f64, o: f64| 6.0 + 5.2 * kg + 0.55 * kg * kg * (1.0 + 0.05 * o);
    let mut one = with_band("one potful", Weight::Strong, 12, curve);
    one.points.remove(0);
    Banded {
        id: "batches".into(),
        title: "Minutes at the stove against batch".into(),
        desc: "From 5 kg on two potfuls of half are quicker than one.".into(),
        room,
        up: Up::Plain("minutes".into()),
        across: Across::Plain("kg at the start".into()),
        curves: vec![
            one,
            BandCurve {
                words: "two of half".into(),
                weight: Weight::Dashed,
                points: (1..=12)
                    .map(|kg| {
                        let value = 2.0 * curve(f64::from(kg) / 2.0, 0.0) + 2.0;
                        BandPoint {
                            at: f64::from(kg),
                            low: value,
                            value,
                            high: value,
                        }
                    })
                    .collect(),
            },
        ],
        levels: vec![],
        phases: vec![],
        marks: vec![
            mark(3.0, curve(3.0, 0.0), "yours: 3 kg, 27 min"),
            mark(10.5, f64::NAN, "largest for this pan: 10.5 kg"),
        ],
        lower: None,
        cursors: vec![],
        below: vec![],
    }
}

fn shares(room: Room) -> Causes {
    let row = |words: &str, share| CauseRow {
        words: words.into(),
        share,
        told: String::new(),
    };
    Causes {
        id: "causes".into(),
        title: "What the band of the dose comes from".into(),
        desc: String::new(),
        room,
        rows: vec![
            row("temperature of the food when filled", 0.46),
            row("how well the bath moves heat into the glass", 0.27),
            row("how well the food carries heat (thermal diffusivity)", 0.19),
            row("thickness of the glass", 0.06),
            row("clock", 0.004),
        ],
    }
}

fn versions(room: Room) -> Changes {
    let row = |words: &str, before: f64, after: f64, unit: &str| Change {
        words: words.into(),
        before,
        after,
        before_words: format!("{before} {unit}"),
        after_words: format!("{after} {unit}"),
    };
    Changes {
        id: "changes".into(),
        title: "Version 3 against version 4".into(),
        desc: String::new(),
        room,
        scale: ChangeScale::EachOwn,
        rows: vec![
            row("sugar, for 10 jars", 1840.0, 1560.0, "g"),
            row("time in the bath", 30.0, 45.0, "min"),
            row("decimal reductions at the coldest place", 6.1, 8.4, ""),
            row("cost of a jar", 1.94, 1.89, "EUR"),
            row("jars", 10.0, 10.0, ""),
        ],
    }
}

fn cooling() -> Curve {
    Curve {
        id: "bath".into(),
        title: "A bath from filling to cool".into(),
        desc: "The middle rises to 94 °C (201 °F) and falls.".into(),
        points: (0..=140)
            .map(|m| (f64::from(m), middle(f64::from(m), 0.0, 45.0)))
            .collect(),
        boils_c: 100.0,
        phases: vec![phase(0.0, "come-up"), phase(30.0, "hold"), phase(75.0, "cooling")],
        marks: vec![mark(79.0, middle(79.0, 0.0, 45.0), "hottest")],
    }
}

fn pots() -> Curves {
    let one = |kg: f64, weight| OneCurve {
        points: (0..=(8.0 * kg) as u32)
            .map(|m| (f64::from(m), 20.0 + 62.0 * (1.0 - (-f64::from(m) / (3.5 * kg)).exp())))
            .collect(),
        weight,
        words: Some(format!("{kg} kg")),
    };
    Curves {
        id: "pots".into(),
        title: "Three batches".into(),
        desc: "Three batches warm up.".into(),
        curves: vec![
            one(2.0, Weight::Strong),
            one(4.0, Weight::Strong),
            one(6.0, Weight::Dashed),
        ],
        levels: vec![level(77.0, "set point 77 °C (171 °F)")],
        below: vec!["From 5 kg on two potfuls are quicker.".into()],
    }
}

fn logged() -> LogPicture {
    let spots = |f: &dyn Fn(f64) -> f64| {
        (0..=140_u32)
            .map(|m| Spot {
                at_min: f64::from(m),
                value: f(f64::from(m)),
                broken: false,
            })
            .collect::<Vec<_>>()
    };
    let probe = |name: &str, medium, f: &dyn Fn(f64) -> f64| Probe {
        name: name.into(),
        medium,
        spots: spots(f),
        sum: if medium {
            vec![]
        } else {
            spots(&|m| 20.0 / (1.0 + (-(m - 70.0) / 8.0).exp()))
        },
    };
    LogPicture {
        id: "run".into(),
        title: "Logger, run 12".into(),
        desc: "Two probes and the bath.".into(),
        probes: vec![
            probe("Centre", false, &|m| middle(m, 0.0, 45.0)),
            probe("Off centre", false, &|m| middle(m, -5.0, 45.0)),
            probe("Bath", true, &|m| {
                if m < 20.0 {
                    60.0 + 2.0 * m
                } else if m < 75.0 {
                    100.0
                } else {
                    21.0
                }
            }),
        ],
        sum_title: "minutes at 93.3 °C (200 °F)".into(),
        marks: vec![(93.3, "reference".into())],
        moments: vec![(75.0, "jars out".into())],
        note: "Made-up numbers.".into(),
    }
}

fn day() -> Timeline {
    let bar = |from_min, to_min, inside: &str, below: &str, shade| Bar {
        from_min,
        to_min,
        inside: inside.into(),
        below: below.into(),
        shade,
    };
    let lane = |name: &str, bars| Lane {
        name: name.into(),
        bars,
    };
    Timeline {
        id: "day".into(),
        title: "A day".into(),
        desc: "A morning at the stove.".into(),
        lanes: vec![
            lane(
                "Pot",
                vec![
                    bar(480.0, 510.0, "1", "Lemon curd", Shade::Pale),
                    bar(515.0, 545.0, "2", "", Shade::Pale),
                ],
            ),
            lane(
                "Bath",
                vec![
                    bar(520.0, 540.0, "", "coming up, 20 min", Shade::Hatched),
                    bar(540.0, 570.0, "1", "at the boil, 30 min", Shade::Solid),
                ],
            ),
            lane("Wait", vec![bar(575.0, 575.0, "", "cooling, seals", Shade::Onward)]),
        ],
    }
}
