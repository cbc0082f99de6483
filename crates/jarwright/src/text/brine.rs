//! A solution as text.

use jarwright_figure::Figure;
use jarwright_kitchen::brine::Brine;
use jarwright_papers::words;

use super::page::{Page, significant};

/// The bench's answer, with what is missing and why.
pub fn brine(brine: &Brine) -> String {
    let mut page = Page::new();
    let mut parts: Vec<&Figure> = brine.composition.values().collect();
    parts.sort_by(|a, b| b.value.total_cmp(&a.value));
    let parts: Vec<String> = parts
        .into_iter()
        .map(|part| format!("{} {} %", part.name, significant(part.value, 4)))
        .collect();
    let at = words::both_scales(brine.at_c.value, 2);
    page.line(0, &format!("{}, at {at}.", parts.join(", ")));
    page.gap();
    page.table(0, &rows(brine), &[]);
    page.gap();
    for note in &brine.notes {
        page.item(0, "- ", note);
    }
    page.text()
}

fn rows(brine: &Brine) -> Vec<Vec<String>> {
    let row = |name: &str, key: &str, figure: &Option<Figure>, say: &dyn Fn(&Figure) -> String| {
        let told = figure.as_ref().map_or_else(
            || {
                let why = brine.unknown.get(&format!("{key}_unknown"));
                format!("cannot be told: {}", why.map_or("", String::as_str))
            },
            say,
        );
        vec![format!("{name}  "), told]
    };
    let digits = |places: usize, unit: &'static str| {
        move |figure: &Figure| format!("{} {unit}", significant(figure.value, places))
    };
    let c = |figure: &Figure| words::both_scales(figure.value, 2);
    let ph = |figure: &Figure| format!("{:.2} ({:.2} to {:.2})", figure.value, figure.low, figure.high);
    let share = |figure: &Figure| format!("{}, {} % of the buffering", figure.name, significant(figure.value, 3));
    let as_citric = digits(3, "% as citric acid");
    vec![
        row("pH", "ph", &brine.ph_band, &ph),
        row("held by", "dominates", &brine.dominates, &share),
        row(
            "titratable acidity",
            "titratable_acidity",
            &brine.titratable_acidity,
            &as_citric,
        ),
        row(
            "ionic strength",
            "ionic_strength",
            &brine.ionic_strength,
            &digits(3, "mol/kg"),
        ),
        row(
            "water activity (25 °C)",
            "water_activity",
            &brine.water_activity,
            &|figure| format!("{:.4}", figure.value),
        ),
        row("boils at", "boils_at_c", &brine.boils_at_c, &c),
        row("freezes at", "freezes_at_c", &brine.freezes_at_c, &c),
        row("soluble solids", "brix", &brine.brix, &digits(4, "°Brix")),
        row("density", "density_kg_m3", &brine.density_kg_m3, &digits(4, "kg/m³")),
        row(
            "heat capacity",
            "heat_capacity_j_kgk",
            &brine.heat_capacity_j_kgk,
            &digits(4, "J/(kg·K)"),
        ),
        row(
            "conductivity",
            "conductivity_w_mk",
            &brine.conductivity_w_mk,
            &digits(3, "W/(m·K)"),
        ),
        row("diffusivity", "diffusivity_m2_s", &brine.diffusivity_m2_s, &|figure| {
            format!("{:.3e} m²/s", figure.value)
        }),
        vec![
            "charge of named ions  ".into(),
            digits(4, "mol/kg")(&brine.named_charge),
        ],
    ]
}
