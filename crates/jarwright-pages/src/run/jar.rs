//! A planned jar: cut open while it heats and cools, and asked again with something changed.
//!
//! The question stands in the address, so that an answer can be kept as a link; the answer alone is
//! what the page's script asks for while a finger moves.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, Query, RawQuery, State};
use axum::http::HeaderMap;
use axum::response::{Html, IntoResponse, Response};
use jarwright_figure::Figure;
use jarwright_kitchen::PlanError;
use jarwright_kitchen::departing::{
    Condition, Departed, DepartedSpot, Departure, Dose, Kept as Stands, PlannedJar, Section, WayStretch,
};
use jarwright_kitchen::ports::Hash;
use jarwright_papers::drawing::{
    Across, Adding, Around, BandCurve, BandPoint, Banded, Film, Frame, JarSection, Level, Lower, LowerLine, Medium,
    Phase, Room, Up, Weight, film,
};
use maud::{Markup, html};
use serde::Deserialize;

use super::answer::{lid, state_key};
use super::asked::{Slide, formulas, number, refused, wants_html};
use super::{Shown, find};
use crate::figures::Figures;
use crate::frame::{Page, Place};
use crate::house::{Shared, Worked};
use crate::reader::Reader;
use crate::trouble::Trouble;
use crate::words::Words;

/// Draws that a band is of.
const RUNS: usize = 2_000;
/// Moments of the film.
const FRAMES: usize = 24;

/// What is changed, as it stands in the address; empty is as planned.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub struct Changed {
    fill_c: String,
    bath_start_c: String,
    come_up_min: String,
    hold_min: String,
    altitude_m: String,
    jar: String,
}

impl Changed {
    fn is_empty(&self) -> bool {
        [
            &self.fill_c,
            &self.bath_start_c,
            &self.come_up_min,
            &self.hold_min,
            &self.altitude_m,
            &self.jar,
        ]
        .iter()
        .all(|typed| typed.trim().is_empty())
    }

    fn departure(&self, planned_jar: &str) -> Result<Departure, Trouble> {
        Ok(Departure {
            fill_c: number(&self.fill_c, "°C")?,
            bath_start_c: number(&self.bath_start_c, "°C")?,
            come_up_min: number(&self.come_up_min, "minutes")?,
            hold_min: number(&self.hold_min, "minutes")?,
            altitude_m: number(&self.altitude_m, "metres")?,
            jar: Some(self.jar.trim())
                .filter(|jar| !jar.is_empty() && *jar != planned_jar)
                .map(str::to_owned),
            inner_radius_mm: None,
        })
    }
}

fn jar_of(shown: &Shown, nth: usize) -> Result<&PlannedJar, Trouble> {
    shown
        .worked
        .jars
        .get(nth.wrapping_sub(1))
        .ok_or_else(|| Trouble::not_found(format!("jar {nth} of this run")))
}

/// The answer to what is changed, worked out beside the threads that answer, a few at a time.
async fn ask(house: &Shared, question: &Question<'_>, departure: &Departure) -> Result<Arc<Departed>, Trouble> {
    let key = question.key(departure);
    if let Some(departed) = house.departed.get(&key) {
        return Ok(departed);
    }
    let (jar, departure) = (question.jar.clone(), departure.clone());
    let departed = house
        .turns
        .compute(move || jar.depart(&departure, RUNS).map_err(Trouble::from))
        .await?;
    let departed = Arc::new(departed);
    house.departed.put(key, Arc::clone(&departed));
    Ok(departed)
}

/// A jar of a run's text.
struct Question<'a> {
    run: Hash,
    nth: usize,
    jar: &'a PlannedJar,
}

impl<'a> Question<'a> {
    fn of(shown: &'a Shown, nth: usize) -> Result<Self, Trouble> {
        Ok(Self {
            run: shown.version.hash(),
            nth,
            jar: jar_of(shown, nth)?,
        })
    }

    fn key(&self, departure: &Departure) -> String {
        format!("{} {} {departure:?}", self.run, self.nth)
    }
}

/// The jar's page.
pub async fn page(
    State(house): State<Shared>,
    Path((name, nth)): Path<(String, usize)>,
    Query(changed): Query<Changed>,
    RawQuery(query): RawQuery,
    reader: Reader,
) -> Result<Response, Response> {
    let told = |trouble: Trouble| trouble.page(reader);
    let words = reader.words();
    let shown = find(&house, &name).await.map_err(told)?;
    let plan = shown.worked.plan.as_ref().map_err(|error| told(error.clone().into()))?;
    let question = Question::of(&shown, nth).map_err(told)?;
    let jar = question.jar;
    let planned = ask(&house, &question, &Departure::default()).await.map_err(told)?;
    let (departure, departed) = match changed.departure(jar.jar()) {
        Ok(departure) if changed.is_empty() => (departure, Ok(Arc::clone(&planned))),
        Ok(departure) => {
            let departed = ask(&house, &question, &departure).await;
            (departure, departed)
        }
        Err(trouble) => (Departure::default(), Err(trouble)),
    };
    let picture = match &departed {
        Ok(departed) => picture(&house, &question, &departure, departed, words)
            .await
            .map_err(told)?,
        Err(_) => Arc::default(),
    };
    let address = format!("/runs/{}/jar/{nth}", shown.version.name);
    let (why, query) = (why(&shown, nth), asked_again(query));
    let figures = Figures::new(reader, &why, "").asked_with(&query);
    let body = html! {
        (super::parts(words, &shown, "jar"))
        (formulas(words, shown.version.name.as_str(), "jar", nth, shown.worked.jars.iter().map(PlannedJar::formula)))
        p { (words.say("jar.about")) }
        @if let Some(picture) = &*picture { section class="wide-picture" { (picture) } }
        form method="get" action=(address) class="departure" data-ask={ "/api" (address) } {
            div class="grid" { (fields(words, &planned, plan.run.altitude.value, &changed, jar)) }
            p class="do" {
                button type="submit" { (words.say("jar.ask")) }
                a class="button quiet" href=(address) { (words.say("jar.as_planned")) }
            }
        }
        div id="departed" data-part aria-live="polite" {
            @match &departed {
                Ok(departed) => { (answer(words, figures, departed, &planned)) }
                Err(trouble) => { (refused(words, trouble)) }
            }
        }
        p class="hint" { (words.say("jar.computed")) }
    };
    Ok(Page {
        place: Place::Runs,
        title: &words.fill("jar.title", &[("of", jar.formula())]),
        over: Some(html! { a href={ "/runs/" (shown.version.name) } { (shown.worked.run.name) } }),
        body,
    }
    .answer(reader))
}

/// The answer alone: JSON, or the part of the page for who accepts HTML.
pub async fn api(
    State(house): State<Shared>,
    Path((name, nth)): Path<(String, usize)>,
    Query(changed): Query<Changed>,
    RawQuery(query): RawQuery,
    headers: HeaderMap,
    reader: Reader,
) -> Response {
    let as_page = wants_html(&headers);
    let words = reader.words();
    let answered = async {
        let shown = find(&house, &name).await?;
        if let Err(error) = &shown.worked.plan {
            return Err(error.clone().into());
        }
        let question = Question::of(&shown, nth)?;
        let departed = ask(&house, &question, &changed.departure(question.jar.jar())?).await?;
        let planned = if as_page {
            Some(ask(&house, &question, &Departure::default()).await?)
        } else {
            None
        };
        Ok::<_, Trouble>((departed, planned, why(&shown, nth)))
    };
    match answered.await {
        Ok((departed, Some(planned), why)) => {
            let query = asked_again(query);
            let figures = Figures::new(reader, &why, "").asked_with(&query);
            Html(answer(words, figures, &departed, &planned).into_string()).into_response()
        }
        Ok((departed, None, _)) => Json(&*departed).into_response(),
        Err(trouble) if as_page => (trouble.status(), Html(refused(words, &trouble).into_string())).into_response(),
        Err(trouble) => trouble.problem(),
    }
}

/// Where the whys of a run's jar are.
fn why(shown: &Shown, nth: usize) -> String {
    format!("/why/run/{}/jar/{nth}", shown.version.hash())
}

/// What was asked, to be asked again.
fn asked_again(query: Option<String>) -> String {
    query.map_or_else(String::new, |query| format!("?{query}"))
}

/// Every quantity behind a jar's answer, by handle.
pub(crate) async fn quantities(
    house: &Shared,
    worked: &Worked,
    run: Hash,
    nth: usize,
    changed: &Changed,
) -> Result<Arc<BTreeMap<String, Figure>>, Trouble> {
    let jar = worked
        .jars
        .get(nth.wrapping_sub(1))
        .ok_or_else(|| Trouble::not_found(format!("jar {nth} of this run")))?;
    let departure = changed.departure(jar.jar())?;
    let key = Question { run, nth, jar }.key(&departure);
    if let Some(reasons) = house.reasons.get(&key) {
        return Ok(reasons);
    }
    let jar = jar.clone();
    let reasons = house
        .turns
        .compute(move || jar.quantities(&departure, RUNS).map_err(Trouble::from))
        .await?;
    let reasons = Arc::new(reasons);
    house.reasons.put(key, Arc::clone(&reasons));
    Ok(reasons)
}

/// What may be changed, beside what is planned.
fn fields(words: Words, planned: &Departed, altitude_m: f64, changed: &Changed, jar: &PlannedJar) -> Markup {
    let hold = planned.hold.as_ref().map(|hold| hold.value);
    let slide = |name, label, unit, typed, planned, range| {
        Slide {
            name,
            label,
            unit,
            typed,
            planned,
            range,
        }
        .field(words)
    };
    html! {
        (slide("fill_c", "jar.fill", "°C", &changed.fill_c, Some(planned.fill.value), (40.0, 100.0, 0.5)))
        (slide("bath_start_c", "jar.bath_start", "°C", &changed.bath_start_c, Some(planned.bath_start.value), (20.0, 100.0, 0.5)))
        (slide("come_up_min", "jar.come_up", "min", &changed.come_up_min, Some(planned.come_up.value), (1.0, 90.0, 0.5)))
        (slide("hold_min", "jar.hold", "min", &changed.hold_min, hold, (0.0, 90.0, 1.0)))
        (slide("altitude_m", "jar.altitude", "m", &changed.altitude_m, Some(altitude_m), (0.0, 4000.0, 10.0)))
        div class="field" {
            label for="jar" { (words.say("ask.jar")) }
            p class="hint" id="jar-hint" { (words.say("jar.planned")) " " (jar.jar().replace('-', " ")) }
            select id="jar" name="jar" aria-describedby="jar-hint" {
                @let chosen = if changed.jar.is_empty() { jar.jar() } else { changed.jar.as_str() };
                @for row in jarwright_reference::jars() {
                    option value=(row.name) selected[row.name == chosen] { (row.name.replace('-', " ")) }
                }
            }
        }
    }
}

/// What the change does: whether the tested schedule stands, then what is computed.
fn answer(words: Words, figures: Figures<'_>, departed: &Departed, planned: &Departed) -> Markup {
    let lost = departed
        .conditions
        .iter()
        .filter(|condition| condition.state == Stands::DepartedFrom)
        .count();
    html! {
        section class={ "route ruling " (departed.ruling.shelf) } {
            (lid(departed.ruling.shelf))
            div {
                h2 { (words.say("route.shelf")) ": " (words.say(state_key(departed.ruling.shelf))) }
                p { (if lost == 0 { words.say("jar.keeps").to_owned() } else { words.count("jar.departs", lost) }) }
                ul lang="en" { @for why in &departed.ruling.why { li { (why) } } }
            }
        }
        div class="wide" { table {
            caption { (words.say("jar.conditions")) }
            thead { tr {
                th scope="col" { (words.say("versions.what")) }
                th scope="col" { (words.say("jar.asked")) }
                th scope="col" { (words.say("jar.here")) }
                th scope="col" { (words.say("jar.stands")) }
            } }
            tbody lang="en" { @for condition in &departed.conditions { (row(words, condition)) } }
        } }
        @match (&departed.spot, &departed.not_computed) {
            (Some(spot), _) => { (doses(words, figures, spot, planned.spot.as_ref())) }
            (None, Some(why)) => { p lang="en" { (why) } }
            (None, None) => {}
        }
    }
}

fn row(words: Words, condition: &Condition) -> Markup {
    let kept = condition.state == Stands::Kept;
    html! {
        tr class=(if kept { "same" } else { "is" }) {
            th scope="row" { (condition.what) }
            td { (condition.asked) }
            td { (condition.here) }
            td lang=(words.tongue.tag()) class="strong" {
                (words.say(if kept { "jar.kept" } else if condition.may_hurt { "jar.hurts" } else { "jar.left" }))
            }
        }
    }
}

fn doses(words: Words, figures: Figures<'_>, spot: &DepartedSpot, planned: Option<&DepartedSpot>) -> Markup {
    let beside = |pick: fn(&DepartedSpot) -> &Dose| planned.map(pick);
    let dose = |key: &'static str, dose: &Dose, plan: Option<&Dose>| {
        html! {
            div {
                dt { (words.say(key)) }
                dd {
                    (figures.said(&dose.minutes, &minutes(dose.minutes.value))) " "
                    span class="band" { (words.fill("jar.from_to", &[("low", &minutes(dose.p5)), ("high", &minutes(dose.p95))])) }
                    @if let Some(plan) = plan && (plan.minutes.value - dose.minutes.value).abs() > 1e-9 {
                        span class="band" { (words.say("jar.planned")) " " (minutes(plan.minutes.value)) }
                    }
                }
            }
        }
    };
    html! {
        h3 { (words.say("jar.doses")) }
        dl class="cells" {
            (dose("spot.heating", &spot.heating, beside(|spot| &spot.heating)))
            (dose("spot.cooling", &spot.cooling, beside(|spot| &spot.cooling)))
            (dose("jar.whole", &spot.whole, beside(|spot| &spot.whole)))
            div { dt { (words.say("spot.target")) } dd { span class="v" { (minutes(spot.target_min)) } } }
            div { dt { (words.say("jar.chance")) } dd { span class="v" { (share(spot.heating.chance)) } span class="band" { (words.say("jar.while_heating")) } } }
            div { dt { (words.say("jar.at_end")) } dd { (figures.show(&spot.at_end)) } }
            div { dt { (words.say("spot.peak")) } dd { (figures.show(&spot.peak)) } }
            div { dt { (words.say("jar.lowest")) } dd { (figures.said(&spot.volume_whole.lowest, &minutes(spot.volume_whole.lowest.value))) " " span class="band" { (words.say("jar.half")) " " (minutes(spot.volume_whole.median.value)) } } }
        }
        p class="hint" lang="en" { (spot.target) ": " (celsius(spot.ref_c)) ", z " (format!("{:.1} K", spot.z_k)) }
        p class="hint" { (words.fill("jar.of_runs", &[("n", &spot.runs.to_string())])) }
    }
}

fn minutes(value: f64) -> String {
    match value {
        v if v >= 99.5 => format!("{v:.0} min"),
        v if v >= 9.95 => format!("{v:.1} min"),
        v => format!("{v:.2} min"),
    }
}

fn share(value: f64) -> String {
    match value {
        v if v >= 0.9995 => "over 99.9 %".into(),
        v if v < 0.0005 => "under 0.1 %".into(),
        v => format!("{:.1} %", 100.0 * v),
    }
}

fn celsius(value: f64) -> String {
    jarwright_papers::words::both_scales(value, 1)
}

/// The film of the jar beside what its cold spot goes through; none where nothing is computed.
async fn picture(
    house: &Shared,
    question: &Question<'_>,
    departure: &Departure,
    departed: &Departed,
    words: Words,
) -> Result<Arc<Option<Markup>>, Trouble> {
    let Some(spot) = &departed.spot else {
        return Ok(Arc::default());
    };
    let key = format!("{} {}", question.key(departure), words.tongue.tag());
    if let Some(picture) = house.films.get(&key) {
        return Ok(picture);
    }
    let last = spot.curve.last().map_or(0.0, |point| point.minutes);
    // Closer together while it heats, further apart while it cools.
    let times: Vec<f64> = (0..FRAMES)
        .map(|i| last * (i as f64 / (FRAMES - 1) as f64).powi(2))
        .collect();
    let (jar, asked, curves) = (question.jar.clone(), departure.clone(), curves(departed, spot, words));
    let departed = departed.clone();
    let picture = house
        .turns
        .compute(move || match jar.section(&asked, &times) {
            Ok(section) => Ok(film(&Film {
                jar: section_picture(&section, &departed, jar.formula()),
                curves,
            })),
            // What cannot be cut open has its numbers all the same.
            Err(PlanError::Asked { .. }) => Ok(None),
            Err(error) => Err(error.into()),
        })
        .await?;
    let picture = Arc::new(picture);
    house.films.put(key, Arc::clone(&picture));
    Ok(picture)
}

fn section_picture(section: &Section, departed: &Departed, formula: &str) -> JarSection {
    let frame = |frame: &jarwright_kitchen::departing::Frame| Frame {
        at_min: frame.minutes,
        words: String::new(),
        celsius: frame.rows_c.iter().flatten().copied().collect(),
        around: around(departed, frame.minutes),
    };
    JarSection {
        id: "jar".into(),
        title: format!("{formula}: the jar cut open"),
        r_mm: section.radii_mm.clone(),
        z_mm: section.heights_mm.clone(),
        inner_radius_mm: section.radius_mm,
        food_mm: section.height_mm,
        headspace_mm: section.headspace_mm,
        wall_mm: section.wall_mm,
        base_mm: section.base_mm,
        frames: section.frames.iter().map(frame).collect(),
    }
}

/// What is around the jar at a moment.
fn around(departed: &Departed, minutes: f64) -> Around {
    let c = match departed.medium.iter().position(|(at, _)| *at > minutes) {
        None => departed.medium.last().map_or(f64::NAN, |(_, c)| *c),
        Some(0) => departed.medium.first().map_or(f64::NAN, |(_, c)| *c),
        Some(i) => {
            let ((from, before), (to, after)) = (departed.medium[i - 1], departed.medium[i]);
            before + (after - before) * (minutes - from) / (to - from).max(f64::MIN_POSITIVE)
        }
    };
    let in_water = |part: &WayStretch| part.in_water && (part.from_min..=part.until_min).contains(&minutes);
    Around {
        medium: if departed.way.iter().any(in_water) {
            Medium::Water
        } else {
            Medium::Air
        },
        c,
    }
}

fn curves(departed: &Departed, spot: &DepartedSpot, words: Words) -> Banded {
    let medium = departed.medium.iter().map(|&(at, c)| BandPoint {
        at,
        low: c,
        value: c,
        high: c,
    });
    let cold = spot.curve.iter().map(|point| BandPoint {
        at: point.minutes,
        low: point.low_c,
        value: point.c,
        high: point.high_c,
    });
    let phases = departed.way.iter().map(|part| Phase {
        from_min: part.from_min,
        words: words.say(stretch_key(part.stretch)).into(),
    });
    Banded {
        id: "cold".into(),
        title: words.say("heat.cold_spot").into(),
        desc: String::new(),
        room: Room::Narrow,
        up: Up::Temperature,
        across: Across::Minutes,
        curves: vec![
            BandCurve {
                words: words.say("jar.coldest").into(),
                weight: Weight::Strong,
                points: cold.collect(),
            },
            BandCurve {
                words: words.say("jar.around").into(),
                weight: Weight::Fine,
                points: medium.collect(),
            },
        ],
        levels: vec![Level {
            c: spot.ref_c,
            words: words.say("jar.reference").into(),
        }],
        phases: phases.collect(),
        marks: Vec::new(),
        lower: Some(dose_so_far(spot, words)),
        cursors: Vec::new(),
        below: Vec::new(),
    }
}

const fn stretch_key(stretch: &str) -> &'static str {
    match stretch.as_bytes() {
        b"come-up" => "jar.phase_up",
        b"at the boil" => "jar.phase_boil",
        b"cooling" => "jar.phase_cool",
        _ => "jar.phase_wait",
    }
}

/// The dose so far, in the bath and after it.
fn dose_so_far(spot: &DepartedSpot, words: Words) -> Lower {
    let line = |key: &'static str, whole: &Dose, points: Vec<(f64, f64)>| LowerLine {
        words: format!("{} {}", words.say(key), minutes(whole.minutes.value)),
        weight: Weight::Strong,
        points,
    };
    let heating = spot.so_far.iter().map(|at| (at.minutes, at.heating_min)).collect();
    let cooling = spot.so_far.iter().map(|at| (at.minutes, at.cooling_min)).collect();
    Lower {
        title: words.say("jar.so_far").into(),
        lines: vec![
            line("spot.heating", &spot.heating, heating),
            line("spot.cooling", &spot.cooling, cooling),
        ],
        adding: Adding::Stacked,
        asked: Some((spot.target_min, words.say("spot.target").into())),
    }
}
