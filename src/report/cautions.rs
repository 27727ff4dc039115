//! Where output can lead to metal: the cautions in short.

/// One sentence each; the page shows all, layout files the first.
pub const CAUTIONS: [&str; 6] = [
    "Ratios are exact; whether a gearbox holds, lasts and can be built is not settled here.",
    "Strength figures are first estimates, not a rating: a rating follows ISO 6336 or the \
     applicable national standard and is signed by a qualified engineer.",
    "Rotating gears are guarded.",
    "A brake or backstop that holds people or a load is no hobby part.",
    "Printed parts are tested before they carry anything.",
    "Local codes and licensed practice decide.",
];
