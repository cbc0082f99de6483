//! The film of a jar: its section moment by moment beside what its coldest place goes through.
//!
//! On paper, and where no script runs, it is a strip of up to six moments above the curves. A page
//! that serves [`FILM_JS`] shows one frame at a time with keys to step and to run, and a line on
//! the curves at the frame's moment. Read next: `jar_section.rs` (a frame), `banded.rs` (the curves).

use maud::{Markup, html};

use super::{Banded, JarSection, Room, banded, in_both_rooms, jar_frames, jar_strip};

/// Script of a film, for a page to serve as a file of its own.
pub const FILM_JS: &str = include_str!("film.js");

/// A jar's moments and what its coldest place goes through.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// The jar and its moments.
    pub jar: JarSection,
    /// The coldest place with its band, the medium around, the dose so far, the schedule's own
    /// conditions as levels and marks. Its room and its cursors are the film's to choose.
    pub curves: Banded,
}

/// Draws a film; nothing without two whole frames or without a curve.
#[must_use]
pub fn film(f: &Film) -> Option<Markup> {
    let frames = jar_frames(&f.jar);
    let last = frames.len().checked_sub(1).filter(|last| *last > 0)?;
    let beside = banded(&Banded {
        room: Room::Narrow,
        cursors: frames.iter().map(|frame| frame.at_min).collect(),
        ..f.curves.clone()
    })?;
    let strip = in_both_rooms(|room| jar_strip(&f.jar, room))?;
    Some(html! {
        div class="film" {
            div class="film-strip" { (strip) }
            div class="film-frames" {
                @for (i, frame) in frames.iter().enumerate() {
                    div class=(format!("film-frame film-frame-{i}")) data-told=(frame.told) hidden[i > 0] { (frame.picture) }
                }
                div class="film-keys" {
                    button type="button" class="film-back" { "Earlier" }
                    button type="button" class="film-run" aria-pressed="false" { "Run" }
                    button type="button" class="film-on" { "Later" }
                    input type="range" class="film-at" min="0" max=(last) step="1" value="0" aria-label="moment";
                }
            }
            div class="film-curves" { (beside) }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Across, Around, BandCurve, BandPoint, Frame, Medium, Up, Weight};
    use super::*;

    fn simple(moments: u32) -> Film {
        let frame = |i: u32| Frame {
            at_min: 10.0 * f64::from(i),
            words: "hold <&>".into(),
            celsius: (0..9).map(|node| 50.0 + f64::from(node * i)).collect(),
            around: Around {
                medium: Medium::Water,
                c: 100.0,
            },
        };
        let point = |at: f64, value: f64| BandPoint {
            at,
            low: value - 1.0,
            value,
            high: value + 1.0,
        };
        Film {
            jar: JarSection {
                id: "j".into(),
                title: "jar".into(),
                r_mm: vec![0.0, 20.0, 40.0],
                z_mm: vec![0.0, 50.0, 100.0],
                inner_radius_mm: 40.0,
                food_mm: 100.0,
                headspace_mm: 8.0,
                wall_mm: 2.5,
                base_mm: 4.0,
                frames: (0..moments).map(frame).collect(),
            },
            curves: Banded {
                id: "c".into(),
                title: "coldest".into(),
                desc: String::new(),
                room: Room::Wide,
                up: Up::Temperature,
                across: Across::Minutes,
                curves: vec![BandCurve {
                    words: "coldest place".into(),
                    weight: Weight::Strong,
                    points: vec![point(0.0, 50.0), point(90.0, 80.0)],
                }],
                levels: vec![],
                phases: vec![],
                marks: vec![],
                lower: None,
                cursors: vec![],
                below: vec![],
            },
        }
    }

    #[test]
    fn every_frame_has_its_line_on_the_curves_and_the_first_is_shown() {
        let html = film(&simple(7)).unwrap().into_string();
        for i in 0..7 {
            assert!(html.contains(&format!("film-frame film-frame-{i}\"")), "frame {i}");
            assert!(html.contains(&format!("film-cursor film-cursor-{i} ")), "line {i}");
        }
        assert!(!html.contains("film-frame-7") && !html.contains("film-cursor-7 "));
        assert_eq!(html.matches(" hidden>").count(), 6);
        assert!(html.contains("max=\"6\""));
    }

    #[test]
    fn nothing_runs_or_is_styled_inside_and_ids_are_unique() {
        let html = film(&simple(9)).unwrap().into_string();
        for never in ["style=", "<style", "<script", " onclick", "javascript:", "NaN"] {
            assert!(!html.contains(never), "{never}");
        }
        let mut ids: Vec<&str> = html
            .split(" id=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        let many = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), many);
        assert_eq!(html.matches("role=\"img\"").count(), html.matches("<svg").count());
    }

    #[test]
    fn the_script_knows_every_class_it_steps() {
        let html = film(&simple(3)).unwrap().into_string();
        let asked: Vec<&str> = FILM_JS
            .split("\".")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert!(asked.len() >= 6);
        for class in asked {
            assert!(
                html.split('"').any(|words| words.split(' ').any(|word| word == class)),
                "{class}"
            );
        }
    }

    #[test]
    fn one_frame_or_no_curve_is_no_film() {
        assert!(film(&simple(1)).is_none() && film(&simple(0)).is_none());
        let mut bare = simple(3);
        bare.curves.curves.clear();
        assert!(film(&bare).is_none());
        let mut spoilt = simple(3);
        spoilt.jar.frames[1].celsius[4] = f64::NAN;
        assert_eq!(film(&spoilt).unwrap().into_string().matches("data-told").count(), 2);
    }
}
