//! Proportions that a bench can measure out: whole parts, from like shares down to a drop.

/// Parts of the first colourant to the second.
const PAIRS: [[u32; 2]; 8] = [[1, 1], [3, 2], [2, 1], [3, 1], [4, 1], [6, 1], [8, 1], [16, 1]];
/// What a further colourant may be of all that is in the pot before it; the last is the drop.
const ADDED: [f64; 5] = [1.0, 0.5, 0.25, 0.125, 0.0625];
/// Most parts of one colourant, but for mixes with a drop.
const MOST_PARTS: u32 = 8;
/// Most parts of one colourant beside a drop.
const MOST_BESIDE_A_DROP: u32 = 16;
/// Most parts in all: below that a part is no longer measured out.
const MOST_IN_ALL: u32 = 24;

/// Products by their place, with their parts, in the order of the places.
pub(super) type Recipe = Vec<(usize, u32)>;

/// All mixes of two of so many products.
pub(super) fn pairs(products: usize) -> Vec<Recipe> {
    let mut recipes = Vec::new();
    for first in 0..products {
        for second in 0..products {
            // Like shares are the same either way round.
            let of_pair = PAIRS.iter().filter(|[a, b]| first < second || first > second && a != b);
            recipes.extend(of_pair.map(|[a, b]| sorted(vec![(first, *a), (second, *b)])));
        }
    }
    recipes
}

/// A mix with one product more, at each share on the grid.
pub(super) fn with_one_more(recipe: &Recipe, products: usize) -> Vec<Recipe> {
    let all: u32 = recipe.iter().map(|(_, parts)| parts).sum();
    let others = (0..products).filter(|place| recipe.iter().all(|(other, _)| other != place));
    let with = |place: usize, share: f64| {
        let (times, added) = match share * f64::from(all) {
            parts if parts >= 1.0 => (1, parts.round() as u32),
            parts => ((1.0 / parts).round() as u32, 1),
        };
        let longer = recipe.iter().map(|(place, parts)| (*place, parts * times)).chain([(place, added)]);
        reduced(sorted(longer.collect()))
    };
    let mut recipes: Vec<Recipe> =
        others.flat_map(|place| ADDED.map(|share| with(place, share))).filter(|one| is_measured(one, true)).collect();
    recipes.dedup();
    recipes
}

/// The mixes beside one: a part more or less of one product.
pub(super) fn beside(recipe: &Recipe) -> Vec<Recipe> {
    let change = |at: usize, by: i64| {
        let mut other = recipe.clone();
        other[at].1 = u32::try_from(i64::from(other[at].1) + by).ok().filter(|parts| *parts > 0)?;
        Some(reduced(other)).filter(|one| is_measured(one, false))
    };
    (0..recipe.len()).flat_map(|at| [change(at, 1), change(at, -1)]).flatten().collect()
}

fn is_measured(recipe: &Recipe, drop: bool) -> bool {
    let most = if drop && recipe.iter().any(|(_, parts)| *parts == 1) { MOST_BESIDE_A_DROP } else { MOST_PARTS };
    recipe.iter().all(|(_, parts)| *parts <= most) && recipe.iter().map(|(_, parts)| parts).sum::<u32>() <= MOST_IN_ALL
}

fn sorted(mut recipe: Recipe) -> Recipe {
    recipe.sort_unstable();
    recipe
}

/// In the smallest whole parts.
fn reduced(mut recipe: Recipe) -> Recipe {
    let divisor = recipe.iter().fold(0, |divisor, (_, parts)| greatest_divisor(divisor, *parts)).max(1);
    recipe.iter_mut().for_each(|(_, parts)| *parts /= divisor);
    recipe
}

fn greatest_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pair_stands_once_and_the_drop_is_among_them() {
        let pairs = pairs(3);
        assert_eq!(pairs.len(), 3 * (2 * PAIRS.len() - 1));
        assert!(pairs.contains(&vec![(0, 16), (2, 1)]) && pairs.contains(&vec![(0, 1), (2, 16)]));
        assert!(pairs.iter().enumerate().all(|(at, one)| !pairs[..at].contains(one)));
    }

    #[test]
    fn one_more_is_added_in_whole_parts() {
        let longer = with_one_more(&vec![(0, 3), (2, 1)], 3);
        let expected = [
            vec![(0, 3), (1, 4), (2, 1)],
            vec![(0, 3), (1, 2), (2, 1)],
            vec![(0, 3), (1, 1), (2, 1)],
            vec![(0, 6), (1, 1), (2, 2)],
            vec![(0, 12), (1, 1), (2, 4)],
        ];
        assert_eq!(longer, expected);
        assert!(with_one_more(&vec![(0, 1), (1, 1)], 2).is_empty());
    }

    #[test]
    fn beside_a_mix_stands_a_part_more_or_less() {
        let near = beside(&vec![(0, 3), (1, 1)]);
        assert_eq!(near, [vec![(0, 4), (1, 1)], vec![(0, 2), (1, 1)], vec![(0, 3), (1, 2)]]);
    }
}
