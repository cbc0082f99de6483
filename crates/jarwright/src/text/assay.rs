//! An assay as text: how the food behaves and what each band comes from, what is in it, what a
//! thermometer shows.

use jarwright_figure::Figure;
use jarwright_kitchen::assaying::{AssaySheet, Dominant};
use jarwright_papers::words;

use super::page::Page;

/// The whole assay.
#[must_use]
pub fn assay(sheet: &AssaySheet) -> String {
    let mut page = Page::new();
    let of = sheet.jar.as_ref().map_or_else(
        || "the formula once".to_owned(),
        |jar| format!("one {jar} with its pieces and brine"),
    );
    page.heading(&format!("{}, {}", sheet.formula, sheet.stage));
    let off = sheet.boiled_off.as_ref().map_or_else(String::new, |off| {
        format!(", after {} has boiled off", words::figure(off))
    });
    page.line(
        2,
        &format!("{of}: {}{off} ({}).", words::figure(&sheet.mass), sheet.food),
    );
    page.line(
        2,
        &format!(
            "{} above sea level, air at {}: water boils at {}.",
            words::figure(&sheet.altitude),
            hectopascal(&sheet.air_pressure),
            words::figure(&sheet.water_boils)
        ),
    );
    behaves(&mut page, sheet);
    holds(&mut page, sheet);
    boiled_down(&mut page, sheet);
    names(&mut page, sheet);
    page.heading("What to know");
    page.list(2, &sheet.notes);
    page.list(2, &sheet.cautions);
    page.gap();
    page.line(
        0,
        &format!(
            "Two numbers in brackets, \"(5 to 7)\": {}. --json gives every number with where it comes from; `jarwright why \
             KEY` shows an equation.",
            words::brackets_meaning()
        ),
    );
    page.text()
}

/// What a key of the sheet is called in text.
fn title(key: &str) -> &'static str {
    match key {
        "brix" => "soluble solids of the whole food",
        "refractometer_brix" => "a refractometer shows",
        "ph" => "pH at 25 °C (77 °F)",
        "titratable_acidity" => "titratable acidity, as citric acid",
        "ionic_strength" => "ionic strength",
        "water_activity" => "water activity at 25 °C (77 °F)",
        "boils_at_c" => "boils here at",
        "freezes_at_c" => "begins to freeze at",
        "density_kg_m3" => "density",
        "heat_capacity_j_kgk" => "heat capacity",
        "conductivity_w_mk" => "conductivity",
        "diffusivity_m2_s" => "diffusivity",
        _ => "a figure",
    }
}

fn behaves(page: &mut Page, sheet: &AssaySheet) {
    page.heading("How it behaves");
    let figures: [(&str, &Option<Figure>); 12] = [
        ("ph", &sheet.ph),
        ("titratable_acidity", &sheet.titratable_acidity),
        ("water_activity", &sheet.water_activity),
        ("brix", &sheet.brix),
        ("refractometer_brix", &sheet.refractometer_brix),
        ("boils_at_c", &sheet.boils_at_c),
        ("freezes_at_c", &sheet.freezes_at_c),
        ("ionic_strength", &sheet.ionic_strength),
        ("density_kg_m3", &sheet.density_kg_m3),
        ("heat_capacity_j_kgk", &sheet.heat_capacity_j_kgk),
        ("conductivity_w_mk", &sheet.conductivity_w_mk),
        ("diffusivity_m2_s", &sheet.diffusivity_m2_s),
    ];
    let frozen = sheet.frozen_share_pct.as_ref().is_some_and(|ice| ice.high > 0.0);
    let mut rows: Vec<Vec<String>> = figures
        .into_iter()
        .map(|(key, figure)| {
            let told = match (figure, sheet.unknown.get(key)) {
                (Some(figure), _) if key == "heat_capacity_j_kgk" && frozen => {
                    format!("{}, with the ice that melts", words::figure(figure))
                }
                (Some(figure), _) => words::figure(figure),
                (None, why) => format!("not told: {}", why.map_or("unknown", String::as_str)),
            };
            vec![title(key).to_owned(), told]
        })
        .collect();
    if let Some(ice) = &sheet.frozen_share_pct {
        rows.push(vec!["frozen share of its water".to_owned(), words::figure(ice)]);
    }
    page.table(2, &rows, &[]);
    page.line(
        2,
        &format!(
            "Density, heat capacity, conductivity and diffusivity at {}.",
            words::figure(&sheet.at)
        ),
    );
    if sheet.brix.is_some() {
        page.line(2, words::WHOLE_BRIX);
    }
    page.heading("What the bands come from");
    for (key, _) in figures {
        if let Some(causes) = sheet.dominates.get(key) {
            page.item(2, &format!("{}: ", title(key)), &format!("{}.", band_from(causes)));
        }
    }
    if sheet.dominates.is_empty() {
        page.line(2, "Nothing here has a band.");
    }
}

/// `lime juice 62 %, model 30 %`.
fn band_from(causes: &[Dominant]) -> String {
    causes
        .iter()
        .map(|cause| {
            let through = if cause.through.is_empty() {
                String::new()
            } else {
                format!(" (by {})", cause.through.join(", "))
            };
            format!("{} {:.0} %{through}", cause.what, cause.share.value)
        })
        .collect::<Vec<_>>()
        .join("; ")
}

fn holds(page: &mut Page, sheet: &AssaySheet) {
    page.heading("What is in it");
    let mut parts: Vec<(&String, &Figure)> = sheet.composition.iter().filter(|(_, part)| part.high >= 0.05).collect();
    parts.sort_by(|a, b| b.1.value.total_cmp(&a.1.value).then_with(|| a.0.cmp(b.0)));
    let rows: Vec<Vec<String>> = parts
        .into_iter()
        .map(|(name, part)| vec![name.clone(), words::figure(part)])
        .collect();
    page.table(2, &rows, &[]);
}

fn boiled_down(page: &mut Page, sheet: &AssaySheet) {
    if sheet.boiled_down.is_empty() && sheet.thermometer.is_none() {
        return;
    }
    page.heading("Boiled down, here and today");
    let mut rows = vec![vec![
        "°Brix of the whole food".to_owned(),
        "thermometer in the boiling food".to_owned(),
    ]];
    for row in &sheet.boiled_down {
        rows.push(vec![
            words::number(row.brix.value, row.brix.unit),
            tenths(&row.boils_at_c),
        ]);
    }
    if !sheet.boiled_down.is_empty() {
        page.table(2, &rows, &[true]);
    }
    if let Some(row) = &sheet.thermometer {
        page.line(
            2,
            &format!(
                "A thermometer at {:.1} °C ({:.1} °F), as good as the kitchen's own, means {}.",
                row.boils_at_c.value,
                words::fahrenheit(row.boils_at_c.value),
                words::figure(&row.brix)
            ),
        );
    }
}

fn names(page: &mut Page, sheet: &AssaySheet) {
    let Some(first) = sheet.names.first() else { return };
    page.heading(&format!("Reserved names, {}", first.market));
    for name in &sheet.names {
        page.line(2, &format!("\"{}\": {}", name.name, name.held));
        page.list(4, name.asks.iter().map(|ask| ask.said.as_str()));
        page.list(4, &name.beside);
    }
}

/// A thermometer reading to a tenth, whatever its band: a degree is two of Brix.
fn tenths(figure: &Figure) -> String {
    format!(
        "{:.1} °C ({:.1} °F), {:.1} to {:.1} °C",
        figure.value,
        words::fahrenheit(figure.value),
        figure.low,
        figure.high
    )
}

fn hectopascal(pascal: &Figure) -> String {
    format!("{:.0} hPa", pascal.value / 100.0)
}
