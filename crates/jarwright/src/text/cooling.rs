//! A cooling case's answer as text.

use std::path::Path;

use jarwright_kitchen::cooling::{Cooling, Sample};
use jarwright_papers::words::both_scales;

use super::page::{Page, significant};

/// Rows of the curve that are told.
const ROWS: usize = 10;

/// The answer, and where its picture is.
pub fn cooling(cooling: &Cooling, picture: Option<&Path>) -> String {
    let mut page = Page::new();
    page.line(0, &format!("{} ({})", cooling.name, cooling.shape));
    films(&mut page, cooling);
    stages(&mut page, cooling);
    freezing(&mut page, cooling);
    readings(&mut page, cooling);
    refrigerator(&mut page, cooling);
    glass(&mut page, cooling);
    page.heading("The curve");
    page.table(0, &curve(&cooling.samples), &[true, true, true, true, true]);
    page.heading("To know");
    page.list(0, &cooling.notes);
    if let Some(path) = picture {
        page.gap();
        page.line(0, &format!("drawn in {}", path.display()));
    }
    page.text()
}

fn films(page: &mut Page, cooling: &Cooling) {
    for film in &cooling.films {
        let films = if (film.film_w_m2k - film.base_film_w_m2k).abs() > 0.05 {
            format!(
                "{} on top and {} under it",
                significant(film.film_w_m2k, 2),
                significant(film.base_film_w_m2k, 2)
            )
        } else {
            significant(film.film_w_m2k, 3)
        };
        let basis = if film.measured {
            "measured"
        } else {
            "from correlations, at its start"
        };
        let what = format!(
            "from {} in {} of {}: film {films} W/(m² K), {basis}",
            duration(film.from_s / 60.0),
            film.medium,
            both_scales(film.medium_c, 1)
        );
        page.item(2, "- ", &what);
    }
}

fn stages(page: &mut Page, cooling: &Cooling) {
    let rule = &cooling.two_stage;
    page.heading("Two-stage rule for food kept chilled");
    let time = |minutes: Option<f64>| minutes.map_or_else(|| "not here".to_owned(), duration);
    page.table(
        2,
        &[
            vec![
                "57 to 21 °C (135 to 70 °F), within 2 h  ".into(),
                time(rule.minutes_to_21_c),
            ],
            vec![
                "57 to 5 °C (135 to 41 °F), within 6 h  ".into(),
                time(rule.minutes_to_5_c),
            ],
        ],
        &[],
    );
    page.line(
        2,
        &format!(
            "{}: {}",
            if rule.passes { "Passes" } else { "Does not pass" },
            rule.verdict
        ),
    );
    let depth = match cooling.greatest_depth_mm {
        Some(mm) if mm >= 299.9 => "any depth up to 300 mm (12 in) passes in these phases".to_owned(),
        Some(mm) => format!(
            "greatest depth that passes in these phases: {:.0} mm ({} in)",
            mm.floor(),
            significant(mm / 25.4, 2)
        ),
        None => "not even 5 mm of it passes in these phases".to_owned(),
    };
    page.line(2, &depth);
    if let Some(minutes) = cooling.vacuum_pack_after_minutes {
        page.line(
            2,
            &format!(
                "middle at 5 °C (41 °F) after {}: no vacuum pack before",
                duration(minutes)
            ),
        );
    }
}

fn freezing(page: &mut Page, cooling: &Cooling) {
    let Some(freezing) = &cooling.freezing else { return };
    page.heading(&format!("Freezing to {} in the middle", both_scales(freezing.to_c, 1)));
    let time = |minutes: Option<f64>| minutes.map_or_else(|| "cannot be told".to_owned(), duration);
    page.table(
        2,
        &[
            vec!["by the grid, from the start  ".into(), time(freezing.grid_minutes)],
            vec![
                "by Pham, from the start, in the last medium  ".into(),
                time(freezing.pham_minutes),
            ],
            vec!["by Plank, the freezing alone  ".into(), time(freezing.plank_minutes)],
        ],
        &[],
    );
    let share = 100.0 * freezing.ice_share;
    let begins = both_scales(freezing.freezes_c, 1);
    page.line(
        2,
        &format!("it begins to freeze at {begins}; at the end {share:.0} % of its water is ice"),
    );
    page.list(2, &freezing.missing);
}

fn readings(page: &mut Page, cooling: &Cooling) {
    let Some(forecast) = &cooling.forecast else { return };
    page.heading("From the two readings");
    let time = |minutes: Option<f64>| minutes.map_or_else(|| "never".to_owned(), duration);
    page.table(
        2,
        &[
            vec![String::new(), "to 21 °C (70 °F)  ".into(), "to 5 °C (41 °F)".into()],
            vec![
                "as food cools, slower and slower  ".into(),
                time(forecast.minutes_to_21_c),
                time(forecast.minutes_to_5_c),
            ],
            vec![
                "by a straight line, wrong  ".into(),
                time(forecast.line_minutes_to_21_c),
                time(forecast.line_minutes_to_5_c),
            ],
        ],
        &[],
    );
    page.line(2, forecast.why_not_the_line);
}

fn refrigerator(page: &mut Page, cooling: &Cooling) {
    let Some(budget) = &cooling.refrigerator else { return };
    page.heading("What the refrigerator takes");
    page.line(
        2,
        &format!(
            "{} of this food at its start, or {} once it is at 21 °C (70 °F), before its air passes {}; this vessel \
             holds {}",
            mass(budget.most_kg),
            mass(budget.most_kg_at_21_c),
            both_scales(budget.limit_c, 1),
            mass(budget.vessel_kg)
        ),
    );
}

fn mass(kg: f64) -> String {
    format!("{} kg ({} lb)", significant(kg, 2), significant(kg / 0.453_592_37, 2))
}

fn glass(page: &mut Page, cooling: &Cooling) {
    let Some(glass) = &cooling.glass else { return };
    page.heading("Glass");
    let mut rows = vec![
        ["step  ", "across the wall  ", "tension  ", "stress index"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for step in &glass.steps {
        rows.push(vec![
            format!("{}  ", step.step),
            format!(
                "{:.0} K ({:.0} °F)  ",
                step.wall_difference_k,
                1.8 * step.wall_difference_k
            ),
            format!("{:.1} MPa {}  ", step.tension_mpa, step.surface),
            format!("{:.2}", step.stress_index),
        ]);
    }
    page.table(2, &rows, &[]);
    page.line(
        2,
        &format!(
            "index 1 is the same wall plunged {:.0} K ({:.0} °F) colder, a difference that bought jars usually pass",
            glass.pass_k,
            1.8 * glass.pass_k
        ),
    );
    let coldest = both_scales(glass.coldest_jar_c, 0);
    page.line(
        2,
        &format!("a jar of {coldest} or warmer takes this filling with an index of 1 or less"),
    );
    if let Some(minutes) = glass.may_wait_minutes {
        page.line(2, &format!("the jar from the oven may wait {}", duration(minutes)));
    }
}

/// Ten rows of the curve, evenly in time.
fn curve(samples: &[Sample]) -> Vec<Vec<String>> {
    let mut rows = vec![
        ["after", "  middle", "  mean", "  surface", "  ice"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let end_s = samples.last().map_or(0.0, |sample| sample.t_s);
    let mut next_s = 0.0;
    for (i, sample) in samples.iter().enumerate() {
        if sample.t_s >= next_s || i + 1 == samples.len() {
            rows.push(vec![
                duration(sample.t_s / 60.0),
                format!("  {}", both_scales(sample.centre_c, 1)),
                format!("  {}", both_scales(sample.mean_c, 1)),
                format!("  {}", both_scales(sample.surface_c, 1)),
                format!("  {:.0} %", 100.0 * sample.ice_share),
            ]);
            next_s += end_s / ROWS as f64;
        }
    }
    rows
}

/// Minutes as a person says them: `45 min`, `3 h 20 min`.
fn duration(minutes: f64) -> String {
    let whole = minutes.round();
    if minutes < 1.0 {
        format!("{:.0} s", 60.0 * minutes)
    } else if whole < 60.0 {
        format!("{whole} min")
    } else {
        format!("{} h {} min", (whole / 60.0).floor(), whole % 60.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_read_as_hours_and_minutes() {
        assert_eq!(duration(0.5), "30 s");
        assert_eq!(duration(59.4), "59 min");
        assert_eq!(duration(200.0), "3 h 20 min");
    }
}
