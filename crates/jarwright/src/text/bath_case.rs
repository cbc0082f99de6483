//! A followed bath as text.

use std::path::Path;

use jarwright_kitchen::bath_case::{BathAnswer, LoadAnswer, Setting};
use jarwright_papers::words::both_scales;

use super::page::{Page, significant};

/// The bench's answer, load by load, with what to heed.
pub fn bath_case(answer: &BathAnswer, plot: Option<&Path>) -> String {
    let mut page = Page::new();
    let boils = both_scales(answer.boils_c, 1);
    page.line(
        0,
        &format!(
            "{}: {} W into the {}, which boils here at {boils} under {:.0} hPa. {} W just hold that boil. {} g of food \
             in a jar.",
            answer.title,
            significant(answer.power_w, 4),
            answer.kind.word().replace("steam", "steam canner's water"),
            answer.pressure_hpa,
            significant(answer.holds_boil_w, 3),
            significant(answer.food_g, 3),
        ),
    );
    for (n, load) in answer.loads.iter().enumerate() {
        page.heading(&format!("Load {}: {} jars", n + 1, load.jars));
        page.table(0, &rows(load), &[]);
    }
    page.heading("Burner");
    page.list(0, burner(answer));
    page.heading("Heed");
    page.list(0, &answer.cautions);
    page.heading("What this rests on");
    page.list(0, &answer.notes);
    if !answer.assumed.is_empty() {
        page.item(
            0,
            "- ",
            &format!("Left out of the case, and taken: {}.", answer.assumed.join(", ")),
        );
    }
    page.item(
        0,
        "- ",
        &format!(
            "Equations: {}; `jarwright why KEY` shows one.",
            answer.equations.join(", ")
        ),
    );
    if let Some(plot) = plot {
        page.gap();
        page.line(0, &format!("Drawn in {}.", plot.display()));
    }
    page.text()
}

fn rows(load: &LoadAnswer) -> Vec<Vec<String>> {
    let c = |celsius: f64| both_scales(celsius, 1);
    let l = |litres: f64| format!("{litres:.2} L ({:.2} US qt)", litres / 0.946_353);
    let row = |name: &str, told: String| vec![format!("{name}  "), told];
    let mut rows = vec![row(
        "goes in",
        format!(
            "jars at {}, {} of water at {}",
            c(load.jar_start_c),
            l(load.water_l),
            c(load.bath_start_c)
        ),
    )];
    rows.push(match &load.boil_lost {
        Some(lost) => row(
            "come-up",
            format!(
                "none: the water boils already; the jars take {:.1} K off its boil, back after {:.1} min",
                lost.by_k, lost.back_min
            ),
        ),
        None => row("come-up", format!("{:.1} min", load.come_up_min)),
    });
    rows.push(row(
        "when it boils",
        format!(
            "jars' mean {}, coldest {}",
            c(load.jar_mean_at_boil_c),
            c(load.coldest_at_boil_c)
        ),
    ));
    rows.push(row(
        "at the end",
        format!(
            "after {} min at the boil: mean {}, coldest {}",
            significant(load.hold_min, 3),
            c(load.jar_mean_at_end_c),
            c(load.coldest_at_end_c)
        ),
    ));
    rows.push(row(
        "water",
        format!("{} boiled away, {} left", l(load.evaporated_l), l(load.water_left_l)),
    ));
    if let (Some(start), Some(end)) = (load.over_jars_at_start_mm, load.over_jars_at_end_mm) {
        rows.push(row(
            "over the jars",
            format!("{start:.0} mm at loading, {end:.0} mm at the end; an inch, 25 mm, is asked for"),
        ));
    }
    if let Some(dry) = load.dry_after_min {
        rows.push(row(
            "boils dry",
            format!("after {dry:.0} min at the boil at this flame"),
        ));
    }
    let energy = &load.energy;
    rows.push(row(
        "energy",
        format!(
            "{:.2} kWh: water and vessel {:.2}, glass {:.2}, food {:.2}, room {:.2}, vapour {:.2}",
            energy.burner_kwh, energy.water_kwh, energy.glass_kwh, energy.food_kwh, energy.room_kwh, energy.vapour_kwh
        ),
    ));
    if load.swap_before_next_l > 0.0 {
        rows.push(row(
            "before the next",
            format!(
                "swap {} of it for cold to start as the first load did",
                l(load.swap_before_next_l)
            ),
        ));
    }
    rows
}

fn burner(answer: &BathAnswer) -> Vec<String> {
    let mut said = Vec::new();
    match answer.setting {
        Some(Setting {
            published_come_up_min,
            power_w: Some(power_w),
            of_full_pct: Some(pct),
            coldest_at_end_c,
        }) => {
            let coldest = coldest_at_end_c.map_or_else(String::new, |c| {
                format!("; the coldest place then ends at {}", both_scales(c, 1))
            });
            said.push(format!(
                "For the published come-up of {} min: {} W into the water, {pct:.0} % of full{coldest}.",
                significant(published_come_up_min, 3),
                significant(power_w, 3),
            ));
        }
        Some(setting) => said.push(format!(
            "No setting gives the published come-up of {} min: the water boils when the jars go in.",
            significant(setting.published_come_up_min, 3)
        )),
        None => {}
    }
    let twice = &answer.twice_the_power;
    said.push(format!(
        "A burner twice as strong, {} W: come-up {:.1} min, coldest place at the end {}.",
        significant(twice.power_w, 4),
        twice.come_up_min,
        both_scales(twice.coldest_at_end_c, 1)
    ));
    said
}
