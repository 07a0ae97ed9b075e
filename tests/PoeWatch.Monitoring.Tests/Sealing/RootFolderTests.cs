using System.Security.Cryptography;
using System.Security.Cryptography.Pkcs;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Monitoring.Tests.Sealing;

public sealed class RootFolderTests : IDisposable
{
    private static readonly SealedRoot Root = new(
        new DateOnly(2026, 11, 25), 4, HashTree.Empty, new DateTimeOffset(2026, 11, 26, 0, 5, 0, TimeSpan.Zero), "ab", "AAAA");

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("poewatch-roots-");

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private string At => Path.Combine(_folder.FullName, "away", "poewatch-root-2026-11-25.json");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public async Task A_root_is_a_file_with_its_signed_text_beside_a_request_for_a_time_stamp_and_is_never_written_over()
    {
        Assert.True(await Folder(Path.Combine(_folder.FullName, "away")).TryPublishAsync(Root, Token));
        using var json = JsonDocument.Parse(await File.ReadAllTextAsync(At, Token));
        Assert.Equal(
            "poewatch-root/1\nday 2026-11-25\nsize 4\nroot e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855\nat 2026-11-26T00:05:00.000000Z\n",
            json.RootElement.GetProperty("text").GetString());
        Assert.Equal(("ab", "AAAA"), (json.RootElement.GetProperty("keyId").GetString(), json.RootElement.GetProperty("signature").GetString()));
        Assert.True(Rfc3161TimestampRequest.TryDecode(await File.ReadAllBytesAsync(Path.ChangeExtension(At, ".tsq"), Token), out var request, out _));
        Assert.Equal(SHA256.HashData(Encoding.UTF8.GetBytes(Root.Text)), request.GetMessageHash().ToArray());

        await File.WriteAllTextAsync(At, "kept", Token);
        Assert.True(await Folder(Path.Combine(_folder.FullName, "away")).TryPublishAsync(Root with { Size = 5 }, Token));
        Assert.Equal("kept", await File.ReadAllTextAsync(At, Token));
    }

    [Fact]
    public async Task A_folder_that_cannot_be_written_is_tried_again_and_none_is_no_fault()
    {
        await File.WriteAllTextAsync(Path.Combine(_folder.FullName, "file"), "", Token);
        Assert.False(await Folder(Path.Combine(_folder.FullName, "file")).TryPublishAsync(Root, Token));
        Assert.True(await Folder(null).TryPublishAsync(Root, Token));
    }

    [Fact]
    public void Only_a_private_key_of_P_256_signs()
    {
        using var right = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        using var other = ECDsa.Create(ECCurve.NamedCurves.nistP384);
        using var signer = EvidenceSigner.TryTake(right.ExportPkcs8PrivateKeyPem(), out _);
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(right.ExportSubjectPublicKeyInfo())), signer!.KeyId);
        Assert.True(right.VerifyData(new byte[] { 1, 2 }, signer.Sign([1, 2])!, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence));
        Assert.Null(EvidenceSigner.TryTake(other.ExportPkcs8PrivateKeyPem(), out var curve));
        Assert.Equal("its curve is not P-256", curve);
        Assert.Null(EvidenceSigner.TryTake(right.ExportSubjectPublicKeyInfoPem(), out var isPublic));
        Assert.Equal("it holds a public key only", isPublic);
        Assert.Null(EvidenceSigner.TryTake("hello", out var none));
        Assert.Equal("it holds no ECDSA key in PEM", none);
        Assert.Null(EvidenceSigner.None.Sign([1]));
    }

    private static RootFolder Folder(string? path) =>
        new(Options.Create(new EvidenceOptions { RootFolder = path, TimestampRequests = true }), NullLogger<RootFolder>.Instance);
}
