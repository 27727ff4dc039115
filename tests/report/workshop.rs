//! What a builder gets of a reduction: sheets, steps of assembly, bill and joints agree with the
//! parts and the layout.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use coaxle::account::workshop::{assembly, assembly_text, bill, joints, sheets};
use coaxle::brief::{ReductionBrief, no_list};
use coaxle::{Controls, Quiet, Record, doors};

fn record(more: &str) -> Record {
    let text = format!(
        "title = \"Hollowfell points crank\"\n[ratio]\ntarget = 16.0\ntolerance = 0.02\n\
         [train]\nsets = [2]\n[room]\nbore = 100\nmodules = [1.0]\n[teeth]\nsun = [18, 30]\n\
         planet = [16, 30]\nring = [60, 80]\nplanets = [3]\n\
         [load]\noutput_torque = 10.0\ninput_speed = 60.0\n{more}"
    );
    let brief = ReductionBrief::parse(&text, "crank", no_list).unwrap();
    let stop = AtomicBool::new(false);
    doors::reduce(&brief, &Controls { threads: None, stop: &stop, progress: &Quiet }).unwrap()
}

#[test]
fn every_part_has_a_sheet_a_step_and_a_line_of_the_bill() {
    for more in ["", "[parts]\nhexagonal = true\nshaft = 5.0\nhelix = 20.0\n"] {
        let record = record(more);
        for candidate in record.front() {
            let shop = candidate.workshop.as_deref().unwrap();
            let parts: Vec<(usize, &coaxle::parts::Part)> = shop
                .sets
                .iter()
                .zip(1..)
                .flat_map(|(set, number)| {
                    let bench = set.bench.as_ref().unwrap();
                    assert!(bench.meshes_freely(), "{:?}", bench.proof);
                    let made = &bench.parts.as_ref().unwrap().parts;
                    made.iter().map(move |part| (number, part))
                })
                .collect();
            assert_eq!(parts.len(), 10);
            let names: BTreeSet<String> =
                parts.iter().map(|(set, part)| format!("set-{set}-{}", part.name())).collect();
            let caution = "First estimates, not a rating.";
            let drawn = sheets(shop, &record.title, caution);
            assert_eq!(drawn.iter().map(|(name, _)| name.clone()).collect::<BTreeSet<_>>(), names);
            for (name, sheet) in &drawn {
                let text = sheet.svg();
                assert!(text.contains("not a rating"), "{name}");
                let straight = more.is_empty() && name.ends_with("sun");
                assert_eq!(
                    text.contains("span over"),
                    straight || more.is_empty() && name.ends_with("planet"),
                    "{name}"
                );
            }
            let rows = bill(shop);
            for (set, part) in &parts {
                let name = part.name().replace('-', " ");
                let row = rows.iter().find(|row| row.set == *set && row.part == name).unwrap();
                assert_eq!((row.count, row.bought), (part.count, false));
            }
            let pins: u32 =
                rows.iter().filter(|row| row.part == "planet pin").map(|row| row.count).sum();
            assert_eq!(pins, 6);
            let steps = assembly(shop, &record.title);
            assert_eq!(steps.len(), 10);
            let text = assembly_text(shop, &candidate.layout, "crank", &steps, &|step| {
                format!("{}-{}", step.set, step.step)
            });
            assert!(steps.iter().all(|step| text.contains(&step.words)));
            // Every member is told of exactly once.
            let told = joints(&candidate.layout).join(" ");
            for member in ["S1", "R1", "C1", "S2", "R2", "C2"] {
                assert_eq!(told.matches(member).count(), 1, "{member}: {told}");
            }
        }
    }
}
