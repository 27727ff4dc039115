//! `coaxle census`.

use itertools::Itertools as _;

use super::args::CensusArgs;
use super::bar::Bar;
use super::folder::disk;
use super::interrupt;
use super::look::{Align, Column, table, wrapped};
use super::voice::Voice;
use crate::doors;
use crate::error::Error;
use crate::num::grouped;
use crate::report::write_answer;
use crate::search::{Census, Controls, CoreFamily};

pub fn run(args: &CensusArgs) -> Result<(), Error> {
    let voice = Voice::of(args.quiet);
    let CensusArgs { sets, shafts, held, bare_input, .. } = *args;
    let bar = Bar::for_a_day(voice, args.yes);
    let controls = Controls {
        threads: args.threads.map(usize::from),
        stop: interrupt::watched(),
        progress: &bar,
    };
    let family = CoreFamily { sets, shafts, held, bare_input };
    let census = doors::census(family, &controls);
    bar.refusal()?;
    drop(bar);
    let census = census?;
    let json = super::json(&census)?;
    if let Some(folder) = &args.out {
        let request = format!("{family:?}");
        let files = vec![("census.json".into(), json.clone().into_bytes())];
        for path in write_answer(folder, &disk(), "census", ("answer", &request), files)? {
            voice.note(&format!("wrote {}", path.display()));
        }
    }
    voice.answer(&if args.json { json } else { told(&census, family) })
}

fn told(census: &Census, family: CoreFamily) -> String {
    let plural = |count: u8, noun: &str| match count {
        1 => format!("1 {noun}"),
        _ => format!("{count} {noun}s"),
    };
    let options = [
        (family.held, "members held in the housing"),
        (family.bare_input, "an input without members"),
    ];
    let options = options.iter().filter(|(there, _)| *there).map(|(_, words)| *words).join(", ");
    let heading = format!(
        "{} on {}{}; a state engages {}",
        plural(census.sets, "set"),
        plural(census.shafts, "shaft"),
        if options.is_empty() { options } else { format!(" with {options}") },
        plural(census.engaged, "element"),
    );
    let rows = [
        ("cores", census.cores, "sets, joints, input and output, up to renumbering the sets"),
        ("connected cores", census.connected_cores, "those whose joints hold all sets together"),
        ("states", census.states, "every choice of that many brakes and clutches"),
        ("determinate", census.determinate, "one motion at generic base ratios"),
        ("live", census.live, "and the output turns"),
    ];
    let rows = rows
        .map(|(name, count, meaning)| vec![name.to_owned(), grouped(count), meaning.to_owned()]);
    let columns = [
        Column::new("", Align::Left),
        Column::new("count", Align::Right),
        Column::new("meaning", Align::Left),
    ];
    let exact = "All counts are exact: a determinant counts as zero when it vanishes \
                 identically in the base ratios, in whole numbers.";
    format!("{heading}\n\n{}\n{}", table(&columns, rows.to_vec()), wrapped(exact, 2))
}
