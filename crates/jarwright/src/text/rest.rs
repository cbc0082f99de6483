//! The clock, the cost of one sold jar, the draft label.

use jarwright_kitchen::Plan;
use jarwright_papers::words;
use jiff::civil::Date;

use super::page::Page;

/// Steps in order, day by day.
pub fn clock(page: &mut Page, plan: &Plan) {
    let clock = &plan.clock;
    page.heading("Clock");
    let mut day = "";
    let mut rows: Vec<Vec<String>> = Vec::new();
    for step in &clock.steps {
        let (date, time) = step.at.rsplit_once(' ').unwrap_or(("", &step.at));
        if date != day {
            page.table(4, &rows, &[]);
            rows.clear();
            if !date.is_empty() {
                page.line(2, &weekday(date));
            }
            day = date;
        }
        let batch = if step.batch.is_empty() {
            String::new()
        } else {
            format!(" ({})", step.batch)
        };
        let takes = if step.takes.value.abs() < 1e-9 {
            String::new()
        } else {
            words::duration(&step.takes)
        };
        rows.push(vec![
            time.to_owned(),
            format!(
                "{}{batch}{}",
                step.what,
                if takes.is_empty() { takes } else { format!(": {takes}") }
            ),
        ]);
    }
    page.table(4, &rows, &[]);
    page.gap();
    page.line(
        2,
        &format!(
            "Last load out {}. At work {}; then {} of waiting for seals and pH. Ready to leave {}.",
            clock.last_out,
            words::duration(&clock.working),
            words::duration(&clock.wait),
            clock.ready
        ),
    );
}

/// A date with its weekday; as it stands when it is no plain date.
fn weekday(date: &str) -> String {
    let date = date.trim_end_matches(',');
    date.parse::<Date>()
        .map_or_else(|_| date.to_owned(), |date| date.strftime("%A %-d %B %Y").to_string())
}

/// What one sold jar costs, by what it is made of.
pub fn cost(page: &mut Page, plan: &Plan) {
    page.heading("Cost of one sold jar");
    let currency = &plan.run.currency;
    for sheet in &plan.cost {
        page.line(2, &sheet.formula);
        let rows: Vec<Vec<String>> = [
            ("ingredients", &sheet.ingredients),
            ("jar and lid", &sheet.jar),
            ("labour", &sheet.labour),
            ("energy", &sheet.energy),
            ("jars started and not sold", &sheet.losses),
            ("one sold jar", &sheet.sold_jar),
        ]
        .into_iter()
        .map(|(what, figure)| vec![what.to_owned(), words::money(figure, currency)])
        .collect();
        page.table(4, &rows, &[]);
        for unpriced in &sheet.unpriced {
            page.item(4, "not priced: ", unpriced);
        }
    }
}

/// Draft labels.
pub fn labels(page: &mut Page, plan: &Plan) {
    page.heading("Label draft");
    for label in &plan.labels {
        page.line(2, &label.name);
        let mut rows = vec![
            ("ingredients", label.ingredients.join(", ")),
            (
                "contains",
                if label.allergens.is_empty() {
                    "none of the market's listed allergens".to_owned()
                } else {
                    label.allergens.join(", ")
                },
            ),
            ("content", words::figure(&label.content)),
            ("lots", label.lots.join(", ")),
            ("made", label.made.clone()),
        ];
        rows.extend(label.storage.iter().map(|storage| ("storage", storage.clone())));
        let rows: Vec<Vec<String>> = rows
            .into_iter()
            .map(|(what, words)| vec![what.to_owned(), words])
            .collect();
        page.table(4, &rows, &[]);
        for open in &label.open_points {
            page.item(4, "to settle: ", open);
        }
    }
}
