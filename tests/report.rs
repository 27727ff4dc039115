//! The results folder: what is in it, that it is the same every time, and what it refuses.

#[path = "report/made.rs"]
mod made;

use std::path::Path;

use coaxle::Error;
use coaxle::report::{
    Candidate, Overwrite, Pictures, Record, Rows, page, summary, table, write_folder,
};

fn small() -> Record {
    made::record(made::candidates(4))
}

#[test]
fn look() {
    let record = small();
    println!("{} candidates, front {}", record.candidates.len(), record.front.len());
    let folder = std::env::var("LOOK").map_or(std::env::temp_dir().join("look"), Into::into);
    write_folder(&record, &folder, Overwrite::Anything).unwrap();
    std::fs::write(folder.join("ladder.svg"), Pictures::of(&record).unwrap().ladder[0].svg())
        .unwrap();
}
