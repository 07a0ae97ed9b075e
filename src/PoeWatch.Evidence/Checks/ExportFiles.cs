using System.IO.Compression;

namespace PoeWatch.Evidence.Checks;

/// <summary>The files of an export, a folder or a zip. Not thread safe.</summary>
public sealed class ExportFiles : IDisposable
{
    private readonly ZipArchive? _zip;
    private readonly Dictionary<string, Func<Stream>> _files;

    private ExportFiles(ZipArchive? zip, Dictionary<string, Func<Stream>> files) => (_zip, _files) = (zip, files);

    public IEnumerable<string> Names => _files.Keys.Order(StringComparer.Ordinal);

    /// <summary>Opens a folder or a zip; null, with the reason, where it is neither.</summary>
    public static ExportFiles? Open(string path, out string problem)
    {
        problem = string.Empty;
        try
        {
            if (Directory.Exists(path))
            {
                return new ExportFiles(null, Directory.EnumerateFiles(path, "*", SearchOption.AllDirectories)
                    .ToDictionary<string, string, Func<Stream>>(f => Path.GetRelativePath(path, f).Replace('\\', '/'), f => () => File.OpenRead(f), StringComparer.Ordinal));
            }

            var zip = ZipFile.OpenRead(path);
            var files = new Dictionary<string, Func<Stream>>(StringComparer.Ordinal);
            foreach (var entry in zip.Entries.Where(e => !e.FullName.EndsWith('/')))
            {
                if (!files.TryAdd(entry.FullName, entry.Open))
                {
                    problem = $"the zip holds '{entry.FullName}' twice";
                    zip.Dispose();
                    return null;
                }
            }

            return new ExportFiles(zip, files);
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or InvalidDataException)
        {
            problem = failed.Message;
            return null;
        }
    }

    /// <summary>A stream over a file; null where there is none.</summary>
    public Stream? Read(string name) => _files.TryGetValue(name, out var open) ? open() : null;

    public void Dispose() => _zip?.Dispose();
}
