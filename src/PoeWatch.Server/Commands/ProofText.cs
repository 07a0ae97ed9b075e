using System.Text;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Server.Commands;

/// <summary>What a proof of a store says to people. Pure.</summary>
internal static class ProofText
{
    public static string Format(HistoryProofResult proof)
    {
        var text = new StringBuilder();
        text.AppendLine(FormattableString.Invariant($"{proof.Leaves} sealed quarter-hours: {proof.Recomputed} follow from their readings, {proof.WithoutReadings} have readings that are no longer there."));
        text.Append(FormattableString.Invariant($"{proof.Roots} roots of days follow from them. Faults: {proof.FaultCount}."));
        foreach (var fault in proof.Faults)
        {
            text.AppendLine().Append("  ").Append(fault);
        }

        if (proof.FaultCount > proof.Faults.Length)
        {
            text.AppendLine().Append(FormattableString.Invariant($"  … and {proof.FaultCount - proof.Faults.Length} more."));
        }

        if (proof.Leaves == 0)
        {
            text.AppendLine().Append("Nothing was sealed yet, so nothing is proven.");
        }

        return text.ToString();
    }
}
