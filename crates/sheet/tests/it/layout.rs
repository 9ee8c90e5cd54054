//! Layouts with many counts, shapes and options: nothing overlaps or extends beyond the sheet, and pictures keep their shape.

use velatura_sheet::{Layout, Rect, SMALLEST_CAP_PX, SheetOptions, layout};

const COUNTS: [usize; 11] = [1, 2, 3, 5, 7, 10, 13, 24, 40, 41, 90];
const CROPS: [(u32, u32); 7] = [
    (3000, 4000),
    (4000, 3000),
    (2500, 2500),
    (900, 4000),
    (4000, 700),
    (120, 160),
    (1, 1),
];

/// The error in a layout, if there is one.
fn fault(plan: &Layout, crop: (u32, u32)) -> Option<String> {
    let mut places = vec![plan.header, plan.footer];
    for cell in &plan.cells {
        places.extend([cell.picture, cell.title, cell.chips]);
        let Rect { width, height, .. } = cell.picture;
        if (width, height) != plan.picture_size {
            return Some(format!("{width} × {height} is not the size of all"));
        }
    }
    let (width, height) = plan.picture_size;
    if width > crop.0 || height > crop.1 {
        return Some(format!("{width} × {height} enlarges {crop:?}"));
    }
    // One side is rounded to the nearest pixel: half a pixel of it, times the crop's other side.
    let across = u64::from(width) * u64::from(crop.1);
    let down = u64::from(height) * u64::from(crop.0);
    let half = u64::from(crop.0.max(crop.1)).div_ceil(2);
    if across.abs_diff(down) > half && width > 1 && height > 1 {
        return Some(format!("{width} × {height} has not the shape of {crop:?}"));
    }
    if plan.text.small_cap_px < SMALLEST_CAP_PX || plan.text.name_cap_px <= plan.text.small_cap_px {
        return Some(format!("{:?}", plan.text));
    }
    for (index, a) in places.iter().enumerate() {
        if a.right() > plan.width || a.bottom() > plan.height {
            return Some(format!("{a:?} leaves the sheet"));
        }
        for b in &places[index + 1..] {
            let apart =
                a.right() <= b.x || b.right() <= a.x || a.bottom() <= b.y || b.bottom() <= a.y;
            let empty = a.width * a.height == 0 || b.width * b.height == 0;
            if !apart && !empty {
                return Some(format!("{a:?} overlaps {b:?}"));
            }
        }
    }
    None
}

#[test]
fn no_overlap_and_nothing_outside_for_any_count_shape_and_wish() {
    let mut looked_at = 0;
    for count in COUNTS {
        for crop in CROPS {
            for columns in [None, Some(1), Some(2), Some(4), Some(9)] {
                for long_edge in [None, Some(300), Some(1200), Some(6000)] {
                    for chips in [0, 1, 5, 12] {
                        let options = SheetOptions { columns, long_edge };
                        let plan = layout(count, crop, &options, chips);
                        let what = format!("{count} cells of {crop:?}, {options:?}, {chips} chips");
                        assert_eq!(fault(&plan, crop), None, "{what}");
                        assert_eq!(plan.cells.len(), count, "{what}");
                        if let Some(columns) = columns {
                            let fits = columns.min(u32::try_from(count).unwrap());
                            assert_eq!(plan.columns, fits, "{what}");
                        }
                        let chip_area = plan.cells[0].chips;
                        assert_eq!(chips == 0, chip_area.height == 0, "{what}");
                        looked_at += 1;
                    }
                }
            }
        }
    }
    assert_eq!(looked_at, 11 * 7 * 5 * 4 * 4);
}

#[test]
fn the_fault_finder_says_no() {
    let crop = (3000, 4000);
    let plan = layout(5, crop, &SheetOptions::default(), 3);
    assert_eq!(fault(&plan, crop), None);
    let broken = |change: &dyn Fn(&mut Layout)| {
        let mut plan = plan.clone();
        change(&mut plan);
        fault(&plan, crop).unwrap_or_default()
    };
    assert!(broken(&|p| p.cells[1].title.x -= 60).contains("overlaps"));
    assert!(broken(&|p| p.width -= 60).contains("leaves"));
    assert!(broken(&|p| p.cells[0].picture.width += 1).contains("size of all"));
    assert!(broken(&|p| p.text.small_cap_px = 10).contains("small_cap_px: 10"));
    let wider = |p: &mut Layout| {
        p.picture_size.0 += 2;
        let size = p.picture_size;
        for cell in &mut p.cells {
            cell.picture.width = size.0;
        }
    };
    assert!(broken(&wider).contains("shape"));
    assert!(fault(&plan, (30, 40)).is_some_and(|fault| fault.contains("enlarges")));
}

#[test]
fn the_longer_edge_is_as_asked_where_the_photo_has_the_pixels() {
    for count in [1, 3, 10, 24, 40] {
        for crop in [(3000, 4000), (4000, 3000), (2500, 2500)] {
            for edge in [1600, 2000, 2222, 2800] {
                let options = SheetOptions {
                    columns: None,
                    long_edge: Some(edge),
                };
                let plan = layout(count, crop, &options, 5);
                let longer = plan.width.max(plan.height);
                assert_eq!(longer, edge, "{count} of {crop:?}");
            }
        }
    }
}

#[test]
fn a_sheet_of_many_has_a_pleasant_shape_and_pictures_cover_most_of_it() {
    for count in [6, 10, 12, 20, 24, 40] {
        for crop in [(3000, 4000), (4000, 3000), (2500, 2500)] {
            let plan = layout(count, crop, &SheetOptions::default(), 5);
            let shape = f64::from(plan.width) / f64::from(plan.height);
            assert!((1.0..=2.0).contains(&shape), "{count} of {crop:?}: {shape}");
            let (width, height) = plan.picture_size;
            let pictures = f64::from(width * height) * f64::from(u32::try_from(count).unwrap());
            let share = pictures / f64::from(plan.width * plan.height);
            // Whole rows are worth some of it: 12 squares in 4 × 3 cover 0.36, in 5 × 3 with a gap 0.41.
            assert!(share > 0.35, "{count} of {crop:?}: {share}");
            assert_eq!(plan.width.max(plan.height), 2800);
        }
    }
}

#[test]
fn a_sheet_without_cells_is_a_heading() {
    let plan = layout(0, (0, 0), &SheetOptions::default(), 5);
    assert!(plan.cells.is_empty() && plan.height > plan.header.bottom());
}
