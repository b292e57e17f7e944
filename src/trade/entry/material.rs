//! The materials that the trade book tells apart.

/// Materials that a tag or a rule may name. The first eight are the classes that a cue may speak for.
pub const MATERIALS: [&str; 13] = [
    "solid",
    "veneer",
    "plywood",
    "particleboard",
    "mdf",
    "laminate",
    "print",
    "composition",
    "stone",
    "cane",
    "rush",
    "upholstery",
    "leather",
];

/// How many of `MATERIALS` a cue may speak for.
pub const CLASSES: usize = 8;

/// What may lie below a face.
pub const CORES: [&str; 4] = ["solid", "plywood", "particleboard", "mdf"];
