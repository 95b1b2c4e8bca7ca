//! Jobs too large for brute force against a general-purpose solver.
//!
//! Source of all costs here: the mixed-integer solver HiGHS, called through SciPy 1.17 on the list of all full patterns (covering rows, a row
//! for each supply, relative gap 0). The jobs are random, of our own. Two hundred such were compared when the engine was written: 194 agreed,
//! 6 were left out because of too many patterns or the time limit of the solver.

mod common;

use common::{proven, solve};

/// Parts, stocks with cost and supply (below zero: no end of it), and the least cost; kerf 3, trim 10.
fn check(parts: &[(i64, u32)], stocks: &[(i64, i64, i64)], cost: i64) {
    let plain: Vec<(i64, i64)> = stocks.iter().map(|s| (s.0, s.1)).collect();
    let mut job = common::job(parts, &plain, 3, 10, (1, 2));
    job.stocks.iter_mut().zip(stocks).for_each(|(s, given)| s.supply = u32::try_from(given.2).ok());
    let cutting = solve(&job);
    assert!(proven(&cutting), "{parts:?}");
    assert_eq!(cutting.cost, cost, "{parts:?}");
}

#[test]
fn costs_equal_those_of_a_general_solver() {
    check(
        &[(1121, 1), (473, 7), (1379, 10), (730, 6), (1377, 10), (554, 6), (952, 10), (1450, 4), (1744, 2), (1271, 2)],
        &[(2400, 910, -1), (3000, 1190, -1), (3600, 1460, -1)],
        24320,
    );
    check(
        &[(1714, 5), (645, 5), (757, 4), (828, 9), (459, 2), (911, 3)],
        &[(1800, 1512, 1), (2400, 2016, -1), (3000, 2520, 3), (3600, 3024, 3), (4800, 4032, -1)],
        22176,
    );
    check(
        &[(1443, 13), (1662, 18), (1663, 2), (725, 2), (606, 11), (1551, 18), (1046, 11)],
        &[(1800, 1512, -1), (2400, 2016, -1), (3000, 2520, -1), (3600, 3024, -1), (4800, 4032, -1)],
        84672,
    );
    check(
        &[(1424, 15), (481, 15), (1744, 5), (1343, 10), (624, 18), (410, 20), (1497, 16), (1704, 6)],
        &[(1800, 1512, -1), (2400, 2016, -1), (3000, 2520, -1), (3600, 3024, -1), (4800, 4032, -1)],
        88704,
    );
    check(
        &[(527, 6), (820, 8), (556, 10), (1557, 9), (1065, 5), (1141, 5), (381, 3), (799, 9), (1491, 4)],
        &[(2400, 910, 1), (3000, 1190, -1), (3600, 1460, -1)],
        22220,
    );
    check(
        &[(727, 3), (1439, 3), (1016, 1), (812, 3), (724, 3), (1582, 4), (998, 4), (1705, 1), (1241, 2)],
        &[(1800, 1512, -1), (2400, 2016, -1), (3000, 2520, 1), (3600, 3024, -1), (4800, 4032, -1)],
        22680,
    );
    check(
        &[(1596, 3), (530, 8), (1130, 2), (1213, 7), (1279, 3), (1539, 8), (1037, 8), (990, 1)],
        &[(2400, 910, -1), (3000, 1190, 4), (3600, 1460, 3)],
        18940,
    );
    check(
        &[(763, 1), (1481, 5), (540, 4), (966, 3), (1295, 1), (1258, 2), (1003, 9)],
        &[(2400, 899, -1), (3000, 1149, 2), (3600, 1399, 3), (4200, 1625, -1), (4800, 1850, 4), (5400, 2099, -1)],
        10146,
    );
    check(
        &[(1493, 3), (543, 2), (801, 2), (1447, 5), (1674, 8), (862, 3), (1376, 5), (779, 5), (997, 9)],
        &[(2400, 899, -1), (3000, 1149, -1), (3600, 1399, -1), (4200, 1625, -1), (4800, 1850, 1), (5400, 2099, 4)],
        19434,
    );
}
