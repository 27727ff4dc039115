//! The drawing of a layout that nests, in names.

use crate::account::shown::{ColumnTold, DrawingTold, LinesTold, MarkTold};
use crate::build::{Direction, Drawing, Segment, drawing};
use crate::train::Layout;

/// `None` where no drawing is found.
pub(super) fn drawing_told(layout: &Layout) -> Option<DrawingTold> {
    let drawing = drawing(layout)?;
    let Drawing { width, height, .. } = drawing;
    let columns = drawing.columns.iter().zip(&drawing.carrier_sides).enumerate();
    let columns = columns.map(|(set, (column, sides))| ColumnTold {
        set: set + 1,
        x: column.x,
        sun: column.sun,
        carrier: column.pin,
        ring: column.ring,
        carrier_leaves_left: sides.left,
        carrier_leaves_right: sides.right,
    });
    let shafts = layout.shafts.iter().zip(&drawing.shafts).map(|(shaft, segments)| LinesTold {
        shaft: shaft.name.clone(),
        lines: segments.iter().map(line).collect(),
    });
    let marks = layout.elements.iter().zip(&drawing.elements).map(|(element, mark)| MarkTold {
        element: element.name.clone(),
        x: mark.at.x,
        y: mark.at.y,
        first_from: match mark.first {
            Direction::Right => "right",
            Direction::Up => "above",
            Direction::Left => "left",
            Direction::Down => "below",
        },
    });
    Some(DrawingTold {
        width,
        height,
        order: drawing.order.iter().map(|set| set + 1).collect(),
        columns: columns.collect(),
        shafts: shafts.collect(),
        housing: drawing.housing.iter().map(line).collect(),
        elements: marks.collect(),
    })
}

fn line(segment: &Segment) -> [i32; 4] {
    [segment.from.x, segment.from.y, segment.to.x, segment.to.y]
}
