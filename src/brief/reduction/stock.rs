//! The list of gears that the builder owns or can buy: a file of lines with commas, or the
//! same lines in the brief.

use std::collections::BTreeMap;
use std::path::Path;

use super::StockGear;
use super::keys::REDUCTION;
use super::written::{WrittenGear, WrittenStock};
use crate::brief::checks::show;
use crate::brief::dialect::nearest;
use crate::brief::fault::quote;
use crate::error::Mistake;
use crate::teeth::ToothLimits;

/// The columns of a list; the first three and the count must be there.
pub(super) const COLUMNS: [&str; 6] = ["kind", "teeth", "module", "bore", "count", "price"];
const NEEDED: [&str; 4] = ["kind", "teeth", "module", "count"];
/// Most different gears of a list.
const MOST_GEARS: usize = 2000;

/// The gears of a brief's list. `file` gives the text of a file that the brief names.
pub(super) fn understand(
    written: &WrittenStock,
    file: impl FnOnce(&Path) -> Result<String, Mistake>,
) -> Result<Vec<StockGear>, Mistake> {
    match (&written.file, &written.gears) {
        (Some(_), Some(_)) => {
            let mend = "write the gears in the file or in the brief, and leave the other out";
            Err(Mistake::at("stock.gears", "stands beside stock.file", mend))
        }
        (None, None) => Err(REDUCTION.wrong("stock.file", "is missing")),
        (Some(name), None) => {
            let path = file_name(name)?;
            let text = file(path).map_err(|mistake| mistake.in_file(path))?;
            listed(&text).map_err(|mistake| mistake.in_file(path))
        }
        (None, Some(rows)) => {
            let rows = rows.iter().enumerate().map(|(index, row)| {
                checked(row).map_err(|fault| fault.at(format!("stock.gears[{index}].")))
            });
            merged(rows.collect::<Result<_, _>>()?, "stock.gears")
        }
    }
}

fn file_name(name: &str) -> Result<&Path, Mistake> {
    if name.trim().is_empty() || name.chars().any(char::is_control) {
        return Err(REDUCTION.wrong("stock.file", format!("is \"{}\"", quote(name))));
    }
    Ok(Path::new(name))
}

/// What is wrong with one cell.
struct Fault {
    column: &'static str,
    problem: String,
    mend: &'static str,
}

impl Fault {
    fn at(self, place: String) -> Mistake {
        Mistake::at(place + self.column, self.problem, self.mend)
    }
}

/// What would be right in a column.
fn right(column: &str) -> &'static str {
    match column {
        "kind" => "write external (sun or planet) or internal (ring)",
        "teeth" => "write a whole number from 6 to 500",
        "module" => "write a number of mm from 0.05 to 50, with a point: 1.5",
        "bore" => "write a number of mm from 0 to 10000; of a ring its outside diameter",
        "count" => "write a whole number from 1 to 1000000; leave out what is not there",
        _ => "write a number from 0, with a point and no sign of money: 3.5",
    }
}

/// One line, understood.
fn checked(row: &WrittenGear) -> Result<StockGear, Fault> {
    let fault = |column, problem| Fault { column, problem, mend: right(column) };
    let missing = |column| fault(column, "is missing".to_owned());
    let whole = |column, value: Option<i64>, most: u32| {
        let value = value.ok_or_else(|| missing(column))?;
        let fitting = u32::try_from(value).ok().filter(|value| *value <= most);
        fitting.ok_or_else(|| fault(column, format!("is {value}")))
    };
    let number = |column, value: f64, ends: (f64, f64)| {
        // Whoever writes −0.0 means 0.
        if (ends.0..=ends.1).contains(&value) {
            return Ok(value + 0.0);
        }
        Err(fault(column, format!("is {}", show(value))))
    };
    let internal = match row.kind.as_deref().ok_or_else(|| missing("kind"))?.trim() {
        "external" => false,
        "internal" => true,
        other => return Err(fault("kind", format!("is \"{}\"", quote(other)))),
    };
    let teeth = whole("teeth", row.teeth, 500)?;
    if teeth < 6 {
        return Err(fault("teeth", format!("is {teeth}")));
    }
    let module = row.module.ok_or_else(|| missing("module"))?;
    let module = number("module", module, (0.05, 50.0))?;
    let bore = number("bore", row.bore.unwrap_or(0.0), (0.0, 1e4))?;
    let count = whole("count", row.count, 1_000_000)?;
    if count == 0 {
        return Err(fault("count", "is 0".to_owned()));
    }
    let price = number("price", row.price.unwrap_or(0.0), (0.0, 1e9))?;
    Ok(StockGear { internal, teeth, module, bore, count, price })
}

/// The gears of a file: a line with the names of the columns, then a line a gear. Empty
/// lines and lines that begin with `#` are remarks.
fn listed(text: &str) -> Result<Vec<StockGear>, Mistake> {
    let text = text.trim_start_matches('\u{feff}');
    let lines = text.lines().enumerate().map(|(index, line)| (index + 1, line.trim()));
    let mut lines = lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let Some((number, line)) = lines.next() else {
        let mend = format!("write a line {}, then a line for each gear", COLUMNS.join(","));
        return Err(Mistake::at("", "has no gears, the list is empty", mend));
    };
    let columns = header(number, line)?;
    let gears = lines.map(|(number, line)| gear(number, line, &columns));
    merged(gears.collect::<Result<_, _>>()?, "")
}

/// The columns in the order of the file.
fn header(number: usize, line: &str) -> Result<Vec<&'static str>, Mistake> {
    let place = format!("line {number}");
    let all = COLUMNS.join(",");
    if line.contains([';', '\t']) && !line.contains(',') {
        let mend = format!("part columns by commas: {all}");
        return Err(Mistake::at(place, format!("is {}", quote(line)), mend));
    }
    let mut columns: Vec<&'static str> = Vec::new();
    for cell in cells(number, line)? {
        let known = COLUMNS.into_iter().find(|column| *column == cell);
        let Some(column) = known else {
            let known = format!("the columns are {all}");
            let mend = match nearest(&cell, &COLUMNS) {
                Some(near) => format!("did you mean {near}? {known}"),
                None => known,
            };
            return Err(Mistake::at(place, format!("\"{}\" is not a column", quote(&cell)), mend));
        };
        if columns.contains(&column) {
            let mend = "name every column once";
            return Err(Mistake::at(place, format!("names {column} twice"), mend));
        }
        columns.push(column);
    }
    match NEEDED.iter().find(|column| !columns.contains(*column)) {
        Some(column) => {
            let problem = format!("has no column {column}");
            Err(Mistake::at(place, problem, format!("begin the list with the line {all}")))
        }
        None => Ok(columns),
    }
}

fn gear(number: usize, line: &str, columns: &[&'static str]) -> Result<StockGear, Mistake> {
    let cells = cells(number, line)?;
    if cells.len() != columns.len() {
        let problem =
            format!("has {} columns, not {}: {}", cells.len(), columns.len(), quote(line));
        let mend = format!("write {} with commas between", columns.join(","));
        return Err(Mistake::at(format!("line {number}"), problem, mend));
    }
    let mut row = WrittenGear::default();
    for (&column, cell) in columns.iter().zip(&cells).filter(|(_, cell)| !cell.is_empty()) {
        let wrong = || {
            let problem = format!("is {}", quote(cell));
            Fault { column, problem, mend: right(column) }.at(format!("line {number}, "))
        };
        let decimal = || cell.parse::<f64>().map(Some).map_err(|_| wrong());
        let whole = || cell.parse::<i64>().map(Some).map_err(|_| wrong());
        match column {
            "kind" => row.kind = Some(cell.clone()),
            "teeth" => row.teeth = whole()?,
            "module" => row.module = decimal()?,
            "bore" => row.bore = decimal()?,
            "count" => row.count = whole()?,
            _ => row.price = decimal()?,
        }
    }
    checked(&row).map_err(|fault| fault.at(format!("line {number}, ")))
}

/// The cells of one line, without spaces around them.
fn cells(number: usize, line: &str) -> Result<Vec<String>, Mistake> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(line.as_bytes());
    let mut record = csv::StringRecord::new();
    reader.read_record(&mut record).map_err(|error| {
        let mend = "write cells with commas between";
        Mistake::at(format!("line {number}"), format!("cannot be read ({error})"), mend)
    })?;
    Ok(record.iter().map(str::to_owned).collect())
}

/// Sorted, equal gears counted together: two lists of the same gears are the same.
fn merged(gears: Vec<StockGear>, key: &str) -> Result<Vec<StockGear>, Mistake> {
    let mut gears = gears;
    if gears.is_empty() || gears.len() > MOST_GEARS {
        let problem = format!("lists {} gears", gears.len());
        let mend = format!("list from 1 to {MOST_GEARS} kinds of gear");
        return Err(Mistake::at(key, problem, mend));
    }
    let order = |a: &StockGear, b: &StockGear| {
        (a.internal.cmp(&b.internal))
            .then(a.module.total_cmp(&b.module))
            .then(a.teeth.cmp(&b.teeth))
            .then(a.bore.total_cmp(&b.bore))
            .then(a.price.total_cmp(&b.price))
    };
    gears.sort_by(order);
    gears.dedup_by(|next, kept| {
        let same = order(next, kept).is_eq();
        if same {
            kept.count = kept.count.saturating_add(next.count).min(1_000_000);
        }
        same
    });
    Ok(gears)
}

/// Whether a sun, planets and a ring of one of the modules fit together by counting alone:
/// Z_R = Z_S + 2 Z_P, with odd planets up to 2 off, and enough planets of a kind.
pub(super) fn some_set_fits(gears: &[StockGear], modules: &[f64], limits: &ToothLimits) -> bool {
    let counted = |module: f64, internal: bool| {
        let mut counts = BTreeMap::new();
        for gear in gears.iter().filter(|g| g.internal == internal && g.module == module) {
            *counts.entry(gear.teeth).or_insert(0) += u64::from(gear.count);
        }
        counts
    };
    let within = |ends: (u32, u32), teeth: u32| (ends.0..=ends.1).contains(&teeth);
    let fewest = u64::from(limits.planets.iter().copied().min().unwrap_or(0));
    let off = if limits.odd_planet { 2 } else { 0 };
    modules.iter().any(|&module| {
        let (wheels, rings) = (counted(module, false), counted(module, true));
        let suns = wheels.keys().filter(|&&teeth| within(limits.sun, teeth));
        suns.into_iter().any(|sun| {
            wheels.iter().filter(|&(&planet, _)| within(limits.planet, planet)).any(
                |(planet, count)| {
                    // A sun like the planets takes one of them.
                    let enough = *count >= fewest + u64::from(sun == planet);
                    let middle = sun + 2 * planet;
                    let mut fitting = rings.range(middle - off..=middle + off);
                    enough && fitting.any(|(&ring, _)| within(limits.ring, ring))
                },
            )
        })
    })
}
