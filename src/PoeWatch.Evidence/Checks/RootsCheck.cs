using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>The tree that all proofs of an export lead to.</summary>
internal readonly record struct TreeHead(long Size, Digest Root);

/// <summary>Checks roots.json: each day's root is signed and is a beginning of the tree of the export; an earlier root is among them.</summary>
internal static class RootsCheck
{
    /// <summary>The tree that the rows have to be proven against; null where there is none to prove against.</summary>
    public static TreeHead? Check(RootsDocument roots, ManifestDocument? manifest, ECDsa key, string keyId, string? earlier, Findings findings)
    {
        if (roots.Format != EvidenceJson.RootsFormat || !Digest.TryParse(roots.TreeRoot, out var root))
        {
            findings.Fault("roots.json was changed: its format or its tree root cannot be read.");
            return null;
        }

        if (manifest is not null && (manifest.TreeRoot != roots.TreeRoot || manifest.TreeSize != roots.TreeSize))
        {
            findings.Fault($"The tree was replaced: roots.json says {roots.TreeSize} leaves and root {roots.TreeRoot}, the manifest {manifest.TreeSize} and {manifest.TreeRoot}.");
        }

        var head = new TreeHead(roots.TreeSize, root);
        var days = new List<RootText>();
        foreach (var day in roots.Days)
        {
            if (Day(day, head, key, keyId, findings) is { } text)
            {
                InOrder(days.LastOrDefault(), text, findings);
                days.Add(text);
            }
        }

        Earlier(earlier, days, head, key, findings);
        findings.Say($"{days.Count} roots of days{(days.Count > 0 ? $", {days[0].Day:yyyy-MM-dd} to {days[^1].Day:yyyy-MM-dd}" : "")}; the tree of the export has {head.Size} leaves.");
        return head;
    }

    private static RootText? Day(DayDocument day, TreeHead head, ECDsa key, string keyId, Findings findings)
    {
        if (RootText.Of(day.Text) is not { } text)
        {
            findings.Fault("roots.json was changed: the text of a day's root cannot be read.");
            return null;
        }

        if (day.Signature.Length == 0)
        {
            findings.Note($"The root of {text.Day:yyyy-MM-dd} is not signed: the service had no key then.");
        }
        else if (!RootText.IsSigned(day.Text, day.Signature, key))
        {
            findings.Fault(day.KeyId != keyId
                ? $"The root of {text.Day:yyyy-MM-dd} is signed with another key, {day.KeyId}; the key given is {keyId}."
                : $"The root of {text.Day:yyyy-MM-dd} was changed: its signature does not fit.");
        }

        if (Hashes(day.Consistency) is not { } proof || !HashTree.IsConsistent(text.Size, text.Root, head.Size, head.Root, proof))
        {
            findings.Fault($"The tree of the export does not begin with that of {text.Day:yyyy-MM-dd}: leaves sealed up to then were changed, removed or put in another order.");
        }

        return text;
    }

    private static void InOrder(RootText? before, RootText text, Findings findings)
    {
        if (before is null)
        {
            return;
        }

        if (text.Day <= before.Day || text.Size < before.Size)
        {
            findings.Fault($"The roots are out of order: {text.Day:yyyy-MM-dd} ({text.Size} leaves) stands behind {before.Day:yyyy-MM-dd} ({before.Size}).");
        }
        else if (text.Day.DayNumber != before.Day.DayNumber + 1)
        {
            findings.Fault($"Roots of days are missing between {before.Day:yyyy-MM-dd} and {text.Day:yyyy-MM-dd}.");
        }
    }

    private static void Earlier(string? earlier, List<RootText> days, TreeHead head, ECDsa key, Findings findings)
    {
        if (earlier is null)
        {
            findings.Note("No earlier root was given (--earlier): that whoever holds the key rewrote the whole history and signed it anew cannot be excluded.");
            return;
        }

        var file = EvidenceCheck.Parsed<RootFileDocument>(Encoding.UTF8.GetBytes(earlier), "The earlier root", findings);
        if (file is null || file.Format != EvidenceJson.RootFileFormat || RootText.Of(file.Text) is not { } kept)
        {
            findings.Fault("The earlier root cannot be read: it is no file poewatch-root-….json.");
            return;
        }

        if (file.Signature.Length > 0 && !RootText.IsSigned(file.Text, file.Signature, key))
        {
            findings.Fault($"The earlier root of {kept.Day:yyyy-MM-dd} is not signed with the key given.");
        }

        if (kept.Size > head.Size)
        {
            findings.Fault($"The earlier root of {kept.Day:yyyy-MM-dd} has {kept.Size} leaves, the tree of the export only {head.Size}: leaves were removed, or the export is older.");
        }
        else if (days.FirstOrDefault(d => d.Day == kept.Day) is not { } same)
        {
            findings.Fault($"The root of {kept.Day:yyyy-MM-dd} that was kept is not in the export: it was removed.");
        }
        else if (same != kept)
        {
            findings.Fault($"The history was rewritten: the root of {kept.Day:yyyy-MM-dd} that was kept is {kept.Root} over {kept.Size} leaves, the export has {same.Root} over {same.Size}.");
        }
        else
        {
            findings.Say($"Whatever was sealed up to {kept.Day:yyyy-MM-dd} is as it was when the earlier root was taken.");
        }
    }

    /// <summary>Hashes in hex; null where one is none.</summary>
    internal static List<Digest>? Hashes(ImmutableArray<string> texts)
    {
        var hashes = new List<Digest>();
        foreach (var text in texts)
        {
            if (!Digest.TryParse(text, out var hash))
            {
                return null;
            }

            hashes.Add(hash);
        }

        return hashes;
    }
}
