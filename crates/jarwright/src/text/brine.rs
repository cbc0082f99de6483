//! A solution as text.

use jarwright_figure::Figure;
use jarwright_kitchen::brine::Brine;
use jarwright_papers::words;

use super::page::{Page, significant};

/// The bench's answer, with what is missing and why.
pub fn brine(brine: &Brine) -> String {
    let mut page = Page::new();
    let parts: Vec<String> = brine
        .composition
        .iter()
        .map(|part| format!("{} {} %", part.name, significant(part.value, 4)))
        .collect();
    page.line(
        0,
        &format!("{}, at {}.", parts.join(", "), words::both_scales(brine.at_c.value, 2)),
    );
    page.gap();
    let c = |figure: &Figure| words::both_scales(figure.value, 2);
    let ph = |figure: &Figure| format!("{:.2} ({:.2} to {:.2})", figure.value, figure.low, figure.high);
    let share = |figure: &Figure| format!("{}, {} % of the buffering", figure.name, significant(figure.value, 3));
    let digits = |places: usize, unit: &'static str| {
        move |figure: &Figure| format!("{} {unit}", significant(figure.value, places))
    };
    let rows: [(&str, &str, &Option<Figure>, &dyn Fn(&Figure) -> String); 13] = [
        ("pH", "ph", &brine.ph_band, &ph),
        ("held by", "dominates", &brine.dominates, &share),
        (
            "titratable acidity",
            "titratable_acidity",
            &brine.titratable_acidity,
            &digits(3, "% as citric acid"),
        ),
        (
            "ionic strength",
            "ionic_strength",
            &brine.ionic_strength,
            &digits(3, "mol/kg"),
        ),
        (
            "water activity (25 °C)",
            "water_activity",
            &brine.water_activity,
            &|f| format!("{:.4}", f.value),
        ),
        ("boils at", "boils_at_c", &brine.boils_at_c, &c),
        ("freezes at", "freezes_at_c", &brine.freezes_at_c, &c),
        ("soluble solids", "brix", &brine.brix, &digits(4, "°Brix")),
        ("density", "density_kg_m3", &brine.density_kg_m3, &digits(4, "kg/m³")),
        (
            "heat capacity",
            "heat_capacity_j_kgk",
            &brine.heat_capacity_j_kgk,
            &digits(4, "J/(kg·K)"),
        ),
        (
            "conductivity",
            "conductivity_w_mk",
            &brine.conductivity_w_mk,
            &digits(3, "W/(m·K)"),
        ),
        ("diffusivity", "diffusivity_m2_s", &brine.diffusivity_m2_s, &|f| {
            format!("{:.3e} m²/s", f.value)
        }),
        ("charge of named ions", "named_charge", &None, &c),
    ];
    let mut table: Vec<Vec<String>> = Vec::new();
    for (name, key, figure, say) in rows {
        let told = match (figure, brine.unknown.get(&format!("{key}_unknown"))) {
            (Some(figure), _) => say(figure),
            (None, Some(why)) => format!("cannot be told: {why}"),
            (None, None) => format!("{} mol/kg", significant(brine.named_charge.value, 4)),
        };
        table.push(vec![format!("{name}  "), told]);
    }
    page.table(0, &table, &[]);
    page.gap();
    for note in &brine.notes {
        page.item(0, "- ", note);
    }
    page.text()
}
