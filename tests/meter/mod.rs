//! A loudness meter to check the other one by.

/// Integrated loudness as ITU-R BS.1770-4 has it, written down a second time: K-weighting with the
/// coefficients printed for 48 kHz (from memory), blocks of 400 ms every 100 ms, gates at −70 LUFS
/// and 10 LU below the mean of what passes it.
pub(crate) fn meter(programme: &[Vec<f64>; 2]) -> f64 {
    let biquad = |samples: &[f64], b: [f64; 3], a: [f64; 2]| -> Vec<f64> {
        let mut state = [0.0; 4];
        let filtered = samples.iter().map(|&x| {
            let [x1, x2, y1, y2] = state;
            let y = b[0] * x + b[1] * x1 + b[2] * x2 - a[0] * y1 - a[1] * y2;
            state = [x, x1, y, y1];
            y
        });
        filtered.collect()
    };
    let weighted = programme.each_ref().map(|channel| {
        let shelf = biquad(
            channel,
            [1.535_124_859_586_97, -2.691_696_189_406_38, 1.198_392_810_852_85],
            [-1.690_659_293_182_41, 0.732_480_774_215_85],
        );
        biquad(&shelf, [1.0, -2.0, 1.0], [-1.990_047_454_833_98, 0.990_072_250_366_21])
    });
    let step = 4800;
    #[allow(clippy::cast_precision_loss, reason = "small counts")]
    let blocks = (weighted[0].len() / step).saturating_sub(3);
    let powers: Vec<f64> = (0..blocks)
        .map(|block| {
            let of = |channel: &[f64]| -> f64 {
                channel[block * step..][..4 * step].iter().map(|s| s * s).sum()
            };
            weighted.iter().map(|channel| of(channel)).sum::<f64>() / (4 * step) as f64
        })
        .collect();
    let lufs = |power: f64| -0.691 + 10.0 * power.log10();
    let above = |gate: f64| {
        let passed: Vec<f64> = powers.iter().copied().filter(|p| lufs(*p) > gate).collect();
        passed.iter().sum::<f64>() / passed.len() as f64
    };
    lufs(above(lufs(above(-70.0)) - 10.0))
}
