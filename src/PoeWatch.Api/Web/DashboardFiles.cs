using Microsoft.AspNetCore.StaticFiles;
using Microsoft.Extensions.FileProviders;
using PoeWatch.Api.Access;

namespace PoeWatch.Api.Web;

/// <summary>Serves the built dashboard out of the assembly, the same bytes however the service is started.</summary>
internal static class DashboardFiles
{
    private const string YearInSeconds = "31536000";

    public static void Map(IEndpointRouteBuilder app)
    {
        var files = new ManifestEmbeddedFileProvider(typeof(DashboardFiles).Assembly, "Dashboard/dist");
        var types = new FileExtensionContentTypeProvider();
        app.MapGet("/", (HttpContext context) => Fresh(context, files, types)).WithMetadata(new AccessNeed(null)).ExcludeFromDescription();
        app.MapGet("/assets/{name}", (HttpContext context, string name) => Hashed(context, files, types, name))
            .WithMetadata(new AccessNeed(null)).ExcludeFromDescription();
        app.MapGet("/favicon.svg", () => Serve(files, types, "favicon.svg")).WithMetadata(new AccessNeed(null)).ExcludeFromDescription();
    }

    /// <summary>The page itself names the hashed files, so it is asked for anew each time.</summary>
    private static IResult Fresh(HttpContext context, IFileProvider files, FileExtensionContentTypeProvider types)
    {
        context.Response.Headers.CacheControl = "no-cache";
        return Serve(files, types, "index.html");
    }

    /// <summary>Names under assets hold a hash of their content: a year in the cache is safe.</summary>
    private static IResult Hashed(HttpContext context, IFileProvider files, FileExtensionContentTypeProvider types, string name)
    {
        if (files.GetFileInfo($"assets/{name}").Exists)
        {
            context.Response.Headers.CacheControl = $"public, max-age={YearInSeconds}, immutable";
        }

        return Serve(files, types, $"assets/{name}");
    }

    private static IResult Serve(IFileProvider files, FileExtensionContentTypeProvider types, string path)
    {
        var file = files.GetFileInfo(path);
        return file.Exists
            ? TypedResults.Stream(file.CreateReadStream(), types.TryGetContentType(path, out var type) ? type : "application/octet-stream")
            : TypedResults.NotFound();
    }
}
