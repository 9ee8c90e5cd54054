//! The order in which paints are fitted: outwards from the paint that most tints are made with.
//!
//! In: the paints of each tint. Out: a sequence in which a tint's other paint is already fitted when the later one follows, and
//! a group number per paint: paints of one group are connected by tints.

/// The order and the groups.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Order {
    /// Every paint once. The first of each group is its reference: its strength is 1.
    pub(super) sequence: Vec<usize>,
    /// Per paint, the number of its group.
    pub(super) group: Vec<usize>,
}

/// The order of `count` paints whose tints are made of these pairs.
pub(super) fn order(count: usize, pairs: &[[usize; 2]]) -> Order {
    let tints_of = |paint: usize| pairs.iter().filter(|pair| pair.contains(&paint)).count();
    let mut by_tints: Vec<usize> = (0..count).collect();
    // Stable: among paints with the same number of tints, the one written first leads.
    by_tints.sort_by_key(|paint| std::cmp::Reverse(tints_of(*paint)));
    let mut group = vec![None; count];
    let mut sequence = Vec::new();
    let mut groups = 0;
    for reference in by_tints {
        if group[reference].is_some() {
            continue;
        }
        group[reference] = Some(groups);
        let mut next = sequence.len();
        sequence.push(reference);
        while next < sequence.len() {
            let paint = sequence[next];
            let mut partners: Vec<usize> = pairs
                .iter()
                .filter(|pair| pair.contains(&paint))
                .map(|[one, other]| if *one == paint { *other } else { *one })
                .collect();
            partners.sort_unstable();
            for partner in partners {
                if group[partner].is_none() {
                    group[partner] = Some(groups);
                    sequence.push(partner);
                }
            }
            next += 1;
        }
        groups += 1;
    }
    Order {
        sequence,
        group: group.into_iter().flatten().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_paint_with_most_tints_comes_first_and_groups_are_kept_apart() {
        // 3 is tinted with 0 and 4; 4 also with 1; 2 has no tint; 5 and 6 are a pair.
        let found = order(7, &[[0, 3], [3, 4], [4, 1], [6, 5], [3, 0]]);
        assert_eq!(found.sequence, [3, 0, 4, 1, 5, 6, 2]);
        assert_eq!(found.group, [0, 0, 2, 0, 0, 1, 1]);
    }

    #[test]
    fn paints_without_tints_stay_as_written() {
        let found = order(3, &[]);
        assert_eq!(found.sequence, [0, 1, 2]);
        assert_eq!(found.group, [0, 1, 2]);
    }
}
