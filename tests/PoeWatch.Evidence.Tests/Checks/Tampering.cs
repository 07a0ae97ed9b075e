using System.Security.Cryptography;
using System.Text.Json.Nodes;

namespace PoeWatch.Evidence.Tests.Checks;

/// <summary>What somebody does to an export: a change of a file, and how far they cover it up.</summary>
internal static class Tampering
{
    /// <summary>Turns over the bits of one byte.</summary>
    public static void Flip(string folder, string name, double place)
    {
        var path = Path.Combine(folder, name);
        var bytes = File.ReadAllBytes(path);
        bytes[(int)((bytes.Length - 1) * place)] ^= 0x21;
        File.WriteAllBytes(path, bytes);
    }

    public static void Rewrite(string folder, string name, Func<string, string> change)
    {
        var path = Path.Combine(folder, name);
        var before = File.ReadAllText(path);
        var after = change(before);
        Assert.NotEqual(before, after);
        File.WriteAllText(path, after);
    }

    /// <summary>Puts the hashes of the changed files into the manifest, as anybody can.</summary>
    public static void FixHashes(string folder)
    {
        var path = Path.Combine(folder, "manifest.json");
        var manifest = JsonNode.Parse(File.ReadAllText(path))!;
        foreach (var file in manifest["files"]!.AsArray())
        {
            var name = Path.Combine(folder, (string)file!["name"]!);
            if (File.Exists(name))
            {
                file["sha256"] = Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(name)));
            }
        }

        File.WriteAllText(path, manifest.ToJsonString());
    }

    /// <summary>Signs the manifest anew, as only the holder of the key can.</summary>
    public static void Sign(string folder, ECDsa key) => File.WriteAllBytes(
        Path.Combine(folder, "manifest.sig"),
        key.SignData(File.ReadAllBytes(Path.Combine(folder, "manifest.json")), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence));
}
