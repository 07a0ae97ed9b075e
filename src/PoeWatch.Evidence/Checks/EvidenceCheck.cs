using System.Security.Cryptography;
using System.Text.Json;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>
/// Checks an export with nothing but its files and a public key: the signature, every file's hash, the roots, the proofs, the rows. Whatever it finds, it goes
/// on, so that the answer names the place. Pure but for reading the files.
/// </summary>
public static class EvidenceCheck
{
    /// <param name="key">The operator's public key.</param>
    /// <param name="keyId">What it is known by.</param>
    /// <param name="earlier">Text of a root file that the auditor kept from earlier; null where there is none.</param>
    public static async Task<EvidenceVerdict> CheckAsync(ExportFiles files, ECDsa key, string keyId, string? earlier, CancellationToken cancellationToken)
    {
        var findings = new Findings();
        var manifest = await ManifestAsync(files, key, keyId, findings, cancellationToken).ConfigureAwait(false);
        if (manifest is not null)
        {
            await FilesAsync(files, manifest, findings, cancellationToken).ConfigureAwait(false);
        }

        var roots = Parsed<RootsDocument>(await BytesAsync(files, EvidenceFiles.Roots, findings, cancellationToken).ConfigureAwait(false), EvidenceFiles.Roots, findings);
        if (roots is not null && RootsCheck.Check(roots, manifest, key, keyId, earlier, findings) is { } head)
        {
            var rows = new RowsCheck(files, head, manifest, findings);
            await rows.CheckAsync(cancellationToken).ConfigureAwait(false);
            await new ParquetCheck(files, findings).CheckAsync(cancellationToken).ConfigureAwait(false);
        }

        findings.Note($"{string.Join(", ", EvidenceFiles.SignedOnly)} and the designs are not in the hash tree: the signature of the manifest alone vouches for them, and an earlier root says nothing about them.");
        return findings.Verdict();
    }

    /// <summary>Reads a document strictly; null, with a finding, where it is none.</summary>
    internal static T? Parsed<T>(byte[]? bytes, string name, Findings findings)
        where T : class
    {
        if (bytes is null)
        {
            return null;
        }

        try
        {
            return JsonSerializer.Deserialize<T>(bytes, EvidenceJson.Lines) ?? throw new JsonException("it is null");
        }
        catch (JsonException broken)
        {
            findings.Fault($"{name} was changed: it cannot be read ({broken.Message})");
            return null;
        }
    }

    private static async Task<ManifestDocument?> ManifestAsync(ExportFiles files, ECDsa key, string keyId, Findings findings, CancellationToken cancellationToken)
    {
        if (await BytesAsync(files, EvidenceFiles.Manifest, findings, cancellationToken).ConfigureAwait(false) is not { } bytes)
        {
            return null;
        }

        var manifest = Parsed<ManifestDocument>(bytes, EvidenceFiles.Manifest, findings);
        using var signature = new MemoryStream();
        await using var signatureFile = files.Read(EvidenceFiles.Signature);
        if (signatureFile is null)
        {
            findings.Fault("manifest.sig is missing: the export is not signed, so whoever changed a file could have changed its hash in the manifest too.");
        }
        else if (await TryReadAsync(signatureFile, signature, cancellationToken).ConfigureAwait(false) is { } broken)
        {
            findings.Fault($"manifest.sig was changed: it cannot be read ({broken})");
        }
        else if (!key.VerifyData(bytes, signature.ToArray(), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence))
        {
            findings.Fault(manifest is { KeyId: { Length: > 0 } signedBy } && signedBy != keyId
                ? $"manifest.sig is of another key: the manifest names {signedBy}, the key given is {keyId}."
                : "The signature of manifest.json does not fit: manifest.json or manifest.sig was changed after it was signed.");
        }

        if (manifest is not null)
        {
            findings.Say($"Evidence of {(manifest.ScopeId.Length > 0 ? $"{manifest.ScopeKind} {manifest.ScopeId}" : "the whole site")}, {manifest.Site}, from {manifest.Period.From} to {manifest.Period.To}, made {manifest.MadeAt} by PoeWatch {manifest.Software}.");
        }

        return manifest;
    }

    private static async Task FilesAsync(ExportFiles files, ManifestDocument manifest, Findings findings, CancellationToken cancellationToken)
    {
        foreach (var listed in manifest.Files)
        {
            await using var file = files.Read(listed.Name);
            if (file is null)
            {
                findings.Fault($"{listed.Name} is missing: the manifest lists it with {listed.Bytes} bytes.");
                continue;
            }

            try
            {
                var hash = Convert.ToHexStringLower(await SHA256.HashDataAsync(file, cancellationToken).ConfigureAwait(false));
                if (hash != listed.Sha256)
                {
                    findings.Fault($"{listed.Name} was changed: its SHA-256 is {hash}, the manifest says {listed.Sha256}.");
                }
            }
            catch (InvalidDataException broken)
            {
                findings.Fault($"{listed.Name} was changed: it cannot be unpacked ({broken.Message})");
            }
        }

        foreach (var extra in files.Names.Except(manifest.Files.Select(f => f.Name)).Except([EvidenceFiles.Manifest, EvidenceFiles.Signature]))
        {
            findings.Fault($"{extra} does not belong to the export: the manifest does not list it.");
        }
    }

    private static async Task<byte[]?> BytesAsync(ExportFiles files, string name, Findings findings, CancellationToken cancellationToken)
    {
        await using var file = files.Read(name);
        if (file is null)
        {
            findings.Fault($"{name} is missing.");
            return null;
        }

        using var bytes = new MemoryStream();
        if (await TryReadAsync(file, bytes, cancellationToken).ConfigureAwait(false) is { } broken)
        {
            findings.Fault($"{name} was changed: it cannot be unpacked ({broken})");
            return null;
        }

        return bytes.ToArray();
    }

    private static async Task<string?> TryReadAsync(Stream file, MemoryStream target, CancellationToken cancellationToken)
    {
        try
        {
            await file.CopyToAsync(target, cancellationToken).ConfigureAwait(false);
            return null;
        }
        catch (InvalidDataException broken)
        {
            return broken.Message;
        }
    }
}
