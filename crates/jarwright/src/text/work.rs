//! What to buy, and the batches with what to weigh.

use jarwright_figure::Figure;
use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{BatchPlan, BuyLine, Stage, WeighLine, WeighingSheet};
use jarwright_papers::words;

use super::page::Page;
use super::{numbered, several, share};

/// The buying list with its left-overs.
pub fn buying(page: &mut Page, plan: &Plan) {
    page.heading("What to buy");
    let mut rows = vec![
        ["ingredient", "needed", "on hand", "buy", "price", "left over"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for line in &plan.buy {
        rows.push(buy_row(line, &plan.run.currency));
    }
    page.table(2, &rows, &[false, true, true, false, true]);
    for line in &plan.buy {
        for left in &line.also_left {
            page.item(2, "- ", &format!("also left over from {}: {left}", line.ingredient));
        }
        if let Some(note) = &line.note {
            page.item(2, "- ", &format!("{}: {note}", line.ingredient));
        }
    }
}

fn buy_row(line: &BuyLine, currency: &str) -> Vec<String> {
    let none = line.to_buy.value <= 0.0;
    let packs = match (line.packs.is_empty(), none) {
        (false, _) => line.packs.join(" + "),
        (true, true) => "-".to_owned(),
        (true, false) => words::value(&line.to_buy),
    };
    let unpriced = if none { "-" } else { "?" };
    vec![
        line.ingredient.clone(),
        words::value(&line.needed),
        blank_if_none(&line.on_hand),
        packs,
        line.price
            .as_ref()
            .map_or_else(|| unpriced.to_owned(), |price| money(price, currency)),
        blank_if_none(&line.left_over),
    ]
}

fn money(figure: &Figure, currency: &str) -> String {
    words::money(figure, currency)
}

fn blank_if_none(figure: &Figure) -> String {
    if figure.value.abs() < 1e-9 {
        "-".into()
    } else {
        words::value(figure)
    }
}

/// Weighing sheets, then the potfuls, then the food at each stage.
pub fn batches(page: &mut Page, plan: &Plan) {
    page.heading("Batches and what to weigh");
    for (index, sheet) in plan.weigh.iter().enumerate() {
        if index > 0 {
            page.gap();
        }
        weighing(page, sheet);
        for batch in plan.batches.iter().filter(|batch| batch.formula == sheet.formula) {
            one_batch(page, batch);
        }
        let stages: Vec<&Stage> = plan
            .stages
            .iter()
            .filter(|stage| stage.formula == sheet.formula)
            .collect();
        at_each_stage(page, &stages);
    }
    // A formula without a weighing sheet still shows its potfuls.
    for batch in plan
        .batches
        .iter()
        .filter(|batch| !plan.weigh.iter().any(|sheet| sheet.formula == batch.formula))
    {
        if several(plan) {
            page.line(2, &batch.formula);
        }
        one_batch(page, batch);
    }
}

fn weighing(page: &mut Page, sheet: &WeighingSheet) {
    let batches = match sheet.batches {
        1 => "1 batch,".to_owned(),
        many => format!("{many} batches, all alike, each"),
    };
    page.line(
        2,
        &format!(
            "{}: {batches} {} times the formula as written; weigh to {}.",
            sheet.formula,
            words::value(&sheet.multiple),
            words::on_scale(&sheet.scale_step, &sheet.scale_step)
        ),
    );
    let mut rows: Vec<Vec<String>> = sheet
        .lines
        .iter()
        .map(|line| weigh_row(line, &sheet.scale_step))
        .collect();
    rows.push(vec![
        words::on_scale(&sheet.total_on_scale, &sheet.scale_step),
        String::new(),
        format!("in all, as rounded; computed {}", words::figure(&sheet.total)),
    ]);
    page.table(4, &rows, &[true]);
    if sheet
        .lines
        .iter()
        .any(|line| words::finer_than(&line.on_scale, &sheet.scale_step))
    {
        page.line(
            4,
            "What is no whole number of the scale's steps wants a finer scale, or the measure beside it.",
        );
    }
}

/// What the scale shows, the cook's own measure, and the ingredient with what to do below it.
fn weigh_row(line: &WeighLine, scale_step: &Figure) -> Vec<String> {
    let join = |words: &[&str], between: &str| {
        words
            .iter()
            .copied()
            .filter(|word| !word.is_empty())
            .collect::<Vec<_>>()
            .join(between)
    };
    let name = join(&[&line.ingredient, &line.form], ", ");
    // Where the moment already names the part, once is enough.
    let part = if line.part == "pot" || line.goes_in.contains(&line.part) {
        ""
    } else {
        line.part.as_str()
    };
    let todo = join(&[&join(&[part, &line.goes_in], ", "), &line.step], ": ");
    vec![
        words::on_scale(&line.on_scale, scale_step),
        line.measure.clone(),
        join(&[&name, &todo], "\n"),
    ]
}

fn one_batch(page: &mut Page, batch: &BatchPlan) {
    page.gap();
    page.line(
        4,
        &format!(
            "{}, in {} on {}: {} jars{} (a potful fills {}).",
            numbered("Batch", "Batches", batch.numbers),
            batch.pot,
            batch.burner,
            words::value(&batch.jars),
            if batch.numbers.0 == batch.numbers.1 {
                ""
            } else {
                " each"
            },
            words::figure(&batch.fills)
        ),
    );
    let stop = match &batch.stop_at {
        // A stop that is a temperature already says it.
        Some(at) if batch.stop.contains(&format!("{} °C", words::number(at.value, at.unit))) => batch.stop.clone(),
        Some(at) => format!("{}, here {}", batch.stop, words::figure(at)),
        None => batch.stop.clone(),
    };
    let rows: Vec<Vec<String>> = [
        ("done at", stop),
        ("cooking", words::duration(&batch.cook)),
        ("filling", words::duration(&batch.fill)),
        ("boiled off", words::figure(&batch.boiled_off)),
        (
            "in the pot",
            format!("{}, pot {} full", words::figure(&batch.volume), share(&batch.pot_full)),
        ),
        ("size set by", batch.bound_by.clone()),
        ("all at once", batch.all_at_once.clone()),
    ]
    .into_iter()
    .filter(|(_, words)| !words.is_empty())
    .map(|(what, words)| vec![what.to_owned(), words])
    .collect();
    page.table(6, &rows, &[]);
    page.list(6, &batch.notes);
}

fn at_each_stage(page: &mut Page, stages: &[&Stage]) {
    if stages.is_empty() {
        return;
    }
    page.gap();
    let mut rows = vec![
        ["stage", "mass", "lost", "°Brix", "water activity", "pH"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for stage in stages {
        let ph = stage
            .assay
            .ph
            .as_ref()
            .map_or_else(|| "unknown".to_owned(), words::figure);
        rows.push(vec![
            stage.stage.to_owned(),
            words::value(&stage.mass),
            stage.lost.as_ref().map_or_else(|| "-".to_owned(), blank_if_none),
            words::number(stage.assay.brix.value, stage.assay.brix.unit),
            words::figure(&stage.assay.water_activity),
            ph,
        ]);
    }
    page.table(4, &rows, &[false, true, true, true, true]);
    for stage in stages {
        if let Some(why) = &stage.assay.ph_unknown {
            page.item(4, "- ", &format!("pH {} is unknown: {why}", stage.stage));
        }
    }
    page.line(
        4,
        "pH, °Brix and water activity here are computed: they plan, they release nothing. Measure.",
    );
    page.line(4, words::WHOLE_BRIX);
}
