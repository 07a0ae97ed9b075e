namespace PoeWatch.Domain.Quantities;

internal static class Finite
{
    // Overflow checks do not cover doubles: an infinity would otherwise travel into sums and alarms unseen.
    internal static double Checked(double value, string quantity) =>
        double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(nameof(value), value, $"{quantity} must be a finite number.");
}
