using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>A certificate authority for one test, with its PEM file, and certificates of receivers from it.</summary>
internal sealed class TestAuthority : IDisposable
{
    // Certificates are checked against the machine's clock, so they are for always.
    private static readonly DateTimeOffset s_from = new(2020, 1, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset s_to = new(2099, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly X509Certificate2 _root;
    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-ca-").FullName;

    public TestAuthority()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=Skerry Haven test authority", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(certificateAuthority: true, false, 0, critical: true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign, critical: true));
        _root = request.CreateSelfSigned(s_from, s_to);
        File.WriteAllText(PemFile, _root.ExportCertificatePem());
    }

    public string PemFile => Path.Combine(_folder, "authority.pem");

    /// <summary>A file with a secret, in the authority's folder.</summary>
    public string SecretFile(string secret)
    {
        var path = Path.Combine(_folder, "secret");
        File.WriteAllText(path, secret + "\n");
        return path;
    }

    /// <summary>A certificate for a name; for this machine's loopback by default.</summary>
    public X509Certificate2 Issue(string name = "localhost", bool isExpired = false)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(name);
        if (name == "localhost")
        {
            names.AddIpAddress(IPAddress.Loopback);
        }

        request.CertificateExtensions.Add(names.Build());
        var serial = SHA256.HashData(key.ExportSubjectPublicKeyInfo())[..8];
        serial[0] &= 0x7F;
        using X509Certificate2 signed = request.Create(_root, s_from, isExpired ? s_from.AddDays(1) : s_to, serial);
        using X509Certificate2 withKey = signed.CopyWithPrivateKey(key);
        return X509CertificateLoader.LoadPkcs12(withKey.Export(X509ContentType.Pkcs12), null);
    }

    public void Dispose()
    {
        _root.Dispose();
        Directory.Delete(_folder, recursive: true);
    }
}
